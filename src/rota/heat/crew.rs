//! Who is where while slopes are driven: who teaches, who stands at the brow and at the foot, who holds the day.

use crate::course::{Course, Person, Role};

/// The people of a slope, by their place among the course's people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crew {
    /// Teaches: an instructor, or whoever is in charge. At the brow, or beside a driver who is near a limit.
    pub teaches: usize,
    /// Watches, at the foot: a spotter or a marshal, else another instructor.
    pub watches: usize,
    /// Stands at the brow while the one who teaches sits beside a driver, shows, or is on a road with others on it; none
    /// where who teaches stands there.
    pub brow: Option<usize>,
    /// Whether who teaches sits beside a driver: one near a limit, or a learner on a first descent.
    pub beside: bool,
}

impl Crew {
    /// Who stands at the brow.
    pub fn at_the_brow(&self) -> usize {
        self.brow.unwrap_or(self.teaches)
    }

    /// Who sits beside a driver, where somebody has to.
    pub fn in_the_cab(&self) -> Option<usize> {
        self.beside.then_some(self.teaches)
    }

    pub(crate) fn all(&self) -> impl Iterator<Item = usize> {
        [Some(self.teaches), Some(self.watches), self.brow].into_iter().flatten()
    }
}

/// Who holds the day while slopes are driven: none of them drives, teaches or stands on a slope meanwhile. What nobody
/// is left for is to be filled in by hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Holds {
    /// At the meeting point, with radio and telephone: whoever is in charge, else who stands in.
    pub control: Option<usize>,
    /// With the first-aid kit.
    pub first_aid: Option<usize>,
    /// Takes what control has no hand for.
    pub deputy: Option<usize>,
    /// Opens for the ambulance.
    pub gate: Option<usize>,
    /// Drives to where a telephone works.
    pub phone: Option<usize>,
    /// On the bank with the throw line, where a slope in use has water.
    pub bank: Option<usize>,
    /// Where a track crosses a slope in use or its run-out: bars it on both sides.
    pub crossing: Option<usize>,
    /// Beside the pegs, with the watch: calls what is too fast.
    pub pegs: Option<usize>,
}

impl Holds {
    /// Everybody named.
    pub fn all(&self) -> impl Iterator<Item = usize> {
        let on_the_slope = [self.bank, self.crossing, self.pegs];
        let off_it = [self.control, self.first_aid, self.deputy, self.gate, self.phone];
        on_the_slope.into_iter().chain(off_it).flatten()
    }
}

/// Beside which learners whoever teaches sits on a turn, beside those near a limit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Seat {
    /// Beside none.
    #[default]
    None,
    /// They come down a slope for the first time in the course: beside each on the first run.
    FirstRun,
    /// The course asks for it on this slope: beside each on every run.
    EveryRun,
}

/// A slope in use and whether somebody sits beside a driver on it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    pub slope: usize,
    pub beside: bool,
    /// Whether somebody else than who teaches stands at the brow all the same: at that end of a road.
    pub ends: bool,
}

impl Wanted {
    fn brow(&self) -> bool {
        self.beside || self.ends
    }
}

/// A crew for each of these slopes at one time, while these vehicles are driven; none where there are not people
/// enough. Whoever is at a wheel neither teaches nor watches.
pub(super) fn crews(course: &Course, slopes: &[Wanted], driven: &[usize]) -> Option<Vec<Crew>> {
    let free = |slope: Option<usize>, rank: fn(&Person) -> Option<u8>| {
        let mut fit = candidates(course, slope, rank);
        fit.retain(|person| !at_a_wheel(course, *person, driven));
        fit
    };
    let mut posts = Vec::new();
    for wanted in slopes {
        posts.push(free(Some(wanted.slope), teaching));
        posts.push(free(Some(wanted.slope), watching));
    }
    // Whoever runs a slope runs that one; the brow may be anybody's of the staff.
    for wanted in slopes.iter().filter(|wanted| wanted.brow()) {
        let mut here = free(Some(wanted.slope), watching);
        let others = free(None, watching).into_iter().filter(|one| !here.contains(one)).collect::<Vec<_>>();
        here.extend(others);
        posts.push(here);
    }
    let found = fill(&posts, &mut Vec::new())?;
    let mut brows = found[2 * slopes.len()..].iter().copied();
    let pairs = found[..2 * slopes.len()].chunks(2).zip(slopes);
    let crew = |(pair, wanted): (&[usize], &Wanted)| Crew {
        teaches: pair[0],
        watches: pair[1],
        brow: if wanted.brow() { brows.next() } else { None },
        beside: wanted.beside,
    };
    Some(pairs.map(crew).collect())
}

/// A crew of one slope while these people are busy elsewhere, one of them at the wheel, and who holds the day; none
/// where there are not people enough.
pub fn crew_beside(course: &Course, slope: usize, busy: &[usize]) -> Option<(Crew, Holds)> {
    let free = |rank: fn(&Person) -> Option<u8>| {
        let mut fit = candidates(course, Some(slope), rank);
        fit.retain(|person| !busy.contains(person));
        fit
    };
    let mut brow = free(watching);
    let staff = candidates(course, None, watching).into_iter();
    brow.extend(staff.filter(|one| !busy.contains(one) && !course.people[*one].slopes.is_empty()).rev());
    let found = fill(&[free(teaching), free(watching), brow], &mut Vec::new())?;
    let crew = Crew { teaches: found[0], watches: found[1], brow: Some(found[2]), beside: false };
    let taken = crew.all().chain(busy.iter().copied()).collect();
    Some((crew, holding_the_day(course, &[slope], taken, &[])))
}

/// Who holds the day while these crews serve on these slopes and these vehicles are driven.
pub(super) fn holds(course: &Course, slopes: &[usize], crews: &[Crew], driven: &[usize]) -> Holds {
    holding_the_day(course, slopes, crews.iter().flat_map(Crew::all).collect(), driven)
}

fn holding_the_day(course: &Course, slopes: &[usize], mut taken: Vec<usize>, driven: &[usize]) -> Holds {
    let water = slopes.iter().any(|slope| course.slopes[*slope].has_water());
    let crossed = slopes.iter().any(|slope| !course.tracks_across(&course.slopes[*slope]).is_empty());
    let mut next = |rank: fn(&Person) -> Option<u8>| {
        let mut fit: Vec<(u8, usize)> = Vec::new();
        for (at, person) in course.people.iter().enumerate() {
            if let Some(rank) = rank(person)
                && !taken.contains(&at)
                && !at_a_wheel(course, at, driven)
            {
                fit.push((rank, at));
            }
        }
        let found = fit.into_iter().min().map(|(_, at)| at);
        taken.extend(found);
        found
    };
    let first_aid = next(aiding);
    let control = next(holding);
    Holds {
        control,
        first_aid,
        bank: if water { next(opening) } else { None },
        crossing: if crossed { next(opening) } else { None },
        deputy: next(standing_in),
        gate: next(opening),
        phone: if course.emergency.somebody_drives_to_a_telephone() { next(opening) } else { None },
        pegs: next(timing),
    }
}

fn at_a_wheel(course: &Course, person: usize, driven: &[usize]) -> bool {
    let vehicle = course.people[person].vehicle.as_ref();
    vehicle.is_some_and(|own| driven.iter().any(|at| course.vehicles[*at].id == *own))
}

/// Who can teach, who should rather: whoever is in charge last.
fn teaching(person: &Person) -> Option<u8> {
    match person.role {
        Role::Instructor => Some(0),
        Role::Lead => Some(1),
        _ => None,
    }
}

/// Who can watch, who should rather.
fn watching(person: &Person) -> Option<u8> {
    match person.role {
        Role::Spotter | Role::Marshal => Some(0),
        other => teaching(person).filter(|_| other != Role::Driver).map(|rank| rank + 1),
    }
}

/// Who can be first aid.
fn aiding(person: &Person) -> Option<u8> {
    (person.role == Role::FirstAider).then_some(0)
}

/// Who can hold the day: whoever is in charge, who stands in for that, then the rest of the staff.
fn holding(person: &Person) -> Option<u8> {
    match (person.role, person.deputy) {
        (Role::Lead, _) => Some(0),
        (_, Some(Role::Lead)) => Some(1),
        (Role::Instructor | Role::Assessor, _) => Some(2),
        (Role::Marshal, _) => Some(3),
        (Role::Spotter, _) => Some(4),
        (Role::FirstAider | Role::Driver, _) => None,
    }
}

/// Who can take what control has no hand for; whoever assesses last, so that somebody watches the last runs.
fn standing_in(person: &Person) -> Option<u8> {
    match person.role {
        Role::Assessor => Some(5),
        _ => holding(person),
    }
}

/// Who can open a gate or go to where a telephone works: who serves on slopes, else a driver who waits, and whoever
/// assesses last.
fn opening(person: &Person) -> Option<u8> {
    match person.role {
        Role::Marshal | Role::Spotter => Some(0),
        Role::Instructor | Role::Lead => Some(1),
        Role::Driver => Some(2),
        Role::Assessor => Some(3),
        Role::FirstAider => None,
    }
}

/// Who can time between the pegs: who serves on slopes, else a driver who waits, else an instructor; whoever assesses
/// watches the driving.
fn timing(person: &Person) -> Option<u8> {
    match person.role {
        Role::Marshal | Role::Spotter => Some(0),
        Role::Driver => Some(1),
        Role::Instructor | Role::Lead => Some(2),
        Role::Assessor | Role::FirstAider => None,
    }
}

/// People for a post on a slope, or on any, those first who should rather and who can be used nowhere else.
fn candidates(course: &Course, slope: Option<usize>, rank: fn(&Person) -> Option<u8>) -> Vec<usize> {
    let people = course.people.iter().enumerate();
    let may = |person: &Person| match slope {
        Some(slope) => person.slopes.is_empty() || person.slopes.contains(&course.slopes[slope].id),
        None => true,
    };
    let mut fit: Vec<(u8, usize, usize)> = people
        .filter(|(_, person)| may(person))
        .filter_map(|(at, person)| {
            let uses = if person.slopes.is_empty() { usize::MAX } else { person.slopes.len() };
            Some((rank(person)?, uses, at))
        })
        .collect();
    fit.sort_unstable();
    fit.into_iter().map(|(.., at)| at).collect()
}

/// Everybody at one post at most.
fn fill(posts: &[Vec<usize>], taken: &mut Vec<usize>) -> Option<Vec<usize>> {
    let Some(post) = posts.get(taken.len()) else { return Some(taken.clone()) };
    for person in post {
        if taken.contains(person) {
            continue;
        }
        taken.push(*person);
        if let Some(found) = fill(posts, taken) {
            return Some(found);
        }
        taken.pop();
    }
    None
}
