//! Who is called on in an emergency, slot by slot: staff who hold no post then; where nobody is left, those of a slope
//! that stands.

use serde::Serialize;

use crate::course::{PointOfSite, Role};
use crate::pack::weekend::day::Weekend;
use crate::rota::{Post, Station, clock_text, deputies, doing, person_there};

/// What somebody is called on for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub(crate) enum Job {
    /// Takes over from control, or holds the telephone beside it.
    Deputy,
    /// Opens, and leads the ambulance in.
    Gate,
    /// Goes to where a telephone works.
    Phone,
}

impl Job {
    const ALL: [Self; 3] = [Self::Deputy, Self::Gate, Self::Phone];

    /// The word the plan and the cards have for it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Deputy => "deputy",
            Self::Gate => "gate",
            Self::Phone => "phone",
        }
    }

    /// What it is, for the card of whoever does it.
    const fn told(self) -> &'static str {
        match self {
            Self::Deputy => "deputy: the telephone, at control",
            Self::Gate => "gate: open it, lead the ambulance in",
            Self::Phone => "phone: drive to where it works",
        }
    }

    /// Where it is done, as far as the plan of the site can say.
    const fn place(self) -> PointOfSite {
        match self {
            Self::Gate => PointOfSite::Gate,
            Self::Deputy | Self::Phone => PointOfSite::Control,
        }
    }

    /// Who of a slope that stands goes for it.
    const fn of_post(self) -> Post {
        match self {
            Self::Deputy => Post::Group,
            Self::Gate => Post::Foot,
            Self::Phone => Post::Brow,
        }
    }
}

/// Who does it in a slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Holder {
    /// Holds no post then.
    Free(usize),
    /// Teaches the lesson, which stops.
    Lesson(usize),
    /// Stands on the first slope; where the accident is there, the other goes from theirs.
    Standing([(usize, usize); 2]),
}

/// Those who are called on in a stretch of the day; none where nobody is there for it, and the sheet has a frame.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct OnCall {
    pub from: String,
    pub to: String,
    pub deputy: Option<String>,
    pub gate: Option<String>,
    pub phone: Option<String>,
}

/// The slots of the rota, those in which the same people are called on in one row. Whoever did it in the slot before goes
/// on doing it if free; else an instructor is deputy, and marshals go to gate and telephone.
pub(crate) fn on_call(weekend: &Weekend) -> Vec<OnCall> {
    let mut rows: Vec<OnCall> = Vec::new();
    for (time, holders) in weekend.rota.slots.iter().zip(all(weekend)) {
        let mut jobs = Job::ALL.into_iter();
        let mut said = |one: Option<Holder>| {
            let job = jobs.next()?;
            one.map(|one| named(weekend, job, one))
        };
        let [deputy, gate, phone] = holders.map(&mut said);
        let row = OnCall { from: clock_text(time.start), to: clock_text(time.end), deputy, gate, phone };
        match rows.last_mut() {
            Some(last) if (&last.deputy, &last.gate, &last.phone) == (&row.deputy, &row.gate, &row.phone) => {
                last.to = row.to;
            }
            _ => rows.push(row),
        }
    }
    rows
}

fn named(weekend: &Weekend, job: Job, holder: Holder) -> String {
    let name = |at: usize| weekend.book.course.people[at].name.short();
    let mark = |slope: usize| {
        let mark = weekend.mark(Station::Slope(slope));
        let far = weekend.book.course.minutes_to(slope, job.place());
        far.map_or_else(|| mark.clone(), |far| format!("{mark}, {far}\u{a0}min"))
    };
    match holder {
        Holder::Free(at) => name(at),
        Holder::Lesson(at) => format!("{} from the lesson, which stops", name(at)),
        Holder::Standing([(one, here), (two, there)]) => {
            format!("{} from {}; if it is there, {} from {}", name(one), mark(here), name(two), mark(there))
        }
    }
}

/// What somebody is called on for in a slot, on their own card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct Called {
    pub job: Job,
    /// Whether they hold no post then.
    pub free: bool,
    /// On which slope the accident must be, or must not be, where that decides.
    pub unless: Option<String>,
}

/// By slot what somebody of the staff is called on for, over the slots of the rota.
pub(crate) fn calls_of(weekend: &Weekend, person: usize) -> Vec<Option<Called>> {
    let of = |holders: [Option<Holder>; 3]| {
        let mine = |(job, holder): (Job, Option<Holder>)| {
            let mark = |slope: usize| weekend.mark(Station::Slope(slope));
            let (free, unless) = match holder? {
                Holder::Free(at) if at == person => (true, None),
                Holder::Lesson(at) if at == person => (false, None),
                Holder::Standing([(at, here), _]) if at == person => {
                    (false, Some(format!("unless it is on {}", mark(here))))
                }
                Holder::Standing([(_, here), (at, _)]) if at == person => {
                    (false, Some(format!("if it is on {}", mark(here))))
                }
                _ => return None,
            };
            Some(Called { job, free, unless })
        };
        Job::ALL.into_iter().zip(holders).find_map(mine)
    };
    all(weekend).into_iter().map(of).collect()
}

/// What somebody is called on for, in words for their card: each job once, with the times at which they leave a post for
/// it; the rows of their day say when they are free for it.
pub(crate) fn in_words(weekend: &Weekend, person: usize) -> Option<String> {
    let calls = calls_of(weekend, person);
    let has = |job: &Job| calls.iter().flatten().any(|called| called.job == *job);
    let said = |job: Job| {
        let times = times_off_post(weekend, &calls, job);
        let times = if times.is_empty() { times } else { format!(" ({times})") };
        format!("{}{times}", job.told())
    };
    let said: Vec<String> = Job::ALL.into_iter().filter(has).map(said).collect();
    (!said.is_empty()).then(|| said.join("; "))
}

/// When somebody leaves a post for a job: `13:55–15:10 if it is on S2`; slots in a row as one stretch.
fn times_off_post(weekend: &Weekend, calls: &[Option<Called>], job: Job) -> String {
    let mut times: Vec<(u16, u16, String)> = Vec::new();
    let mut last = None;
    for (at, (slot, called)) in weekend.rota.slots.iter().zip(calls).enumerate() {
        let Some(called) = called.as_ref().filter(|called| called.job == job && !called.free) else {
            continue;
        };
        let unless = called.unless.clone().unwrap_or_default();
        match times
            .last_mut()
            .filter(|(.., before)| last.is_some_and(|last| last + 1 == at) && *before == unless)
        {
            Some((_, to, _)) => *to = slot.end,
            None => times.push((slot.start, slot.end, unless)),
        }
        last = Some(at);
    }
    let said = times.into_iter().map(|(from, to, unless)| {
        format!("{}–{} {unless}", clock_text(from), clock_text(to)).trim_end().to_owned()
    });
    said.collect::<Vec<_>>().join(", ")
}

/// All that somebody is called on for from a time of the day on, slot by slot: what decides whether their card reads
/// otherwise.
pub(crate) fn slot_by_slot(weekend: &Weekend, person: usize, from: u16) -> Vec<(String, Called)> {
    let slots =
        weekend.rota.slots.iter().zip(calls_of(weekend, person)).filter(|(slot, _)| slot.start >= from);
    let said = slots.filter_map(|(slot, called)| Some((clock_text(slot.start), called?)));
    said.collect()
}

/// Deputy, gate and telephone of each slot of the rota.
fn all(weekend: &Weekend) -> Vec<[Option<Holder>; 3]> {
    let mut before = [None; 3];
    let slots = 0..weekend.rota.length();
    slots
        .map(|slot| {
            before = holders(weekend, slot, before);
            let free = before.map(|at| at.map(Holder::Free));
            with_those_who_stand(weekend, slot, free)
        })
        .collect()
}

/// Which post is filled first where few are free: the gate, the deputy, the telephone.
const FIRST: [usize; 3] = [1, 0, 2];

/// The posts of a day: nobody is kept for a telephone that works where control stands.
fn wanted(weekend: &Weekend) -> &'static [usize] {
    let goes = weekend.book.course.emergency.somebody_drives_to_a_telephone();
    if goes { &FIRST } else { &FIRST[..2] }
}

/// Those who are free in a slot, by their places among the people.
fn holders(weekend: &Weekend, slot: usize, before: [Option<usize>; 3]) -> [Option<usize>; 3] {
    let mut free = free(weekend, slot);
    let wanted = wanted(weekend);
    let posts = &wanted[..free.len().min(wanted.len())];
    let mut chosen = [None; 3];
    for post in posts {
        chosen[*post] = before[*post].filter(|at| free.contains(at));
    }
    free.retain(|at| !chosen.contains(&Some(*at)));
    for post in posts {
        if chosen[*post].is_some() {
            continue;
        }
        let instructs = |at: &usize| weekend.book.course.people[*at].role == Role::Instructor;
        let job = Job::ALL[*post];
        let best = |at: &usize| (instructs(at) != (*post == 0), away(weekend, *at, slot, job));
        let place = (0..free.len()).min_by_key(|place| best(&free[*place])).unwrap_or(0);
        chosen[*post] = Some(free.remove(place));
    }
    chosen
}

/// Minutes to where a job is done from the slope at which somebody stands in the slot before or after; 0 where the plan
/// of the site or the rota does not say.
fn away(weekend: &Weekend, person: usize, slot: usize, job: Job) -> u16 {
    let near = [slot.checked_sub(1), Some(slot + 1)].into_iter().flatten();
    let stations = near.filter_map(|slot| Some(weekend.rota.duty(person, slot)?.station));
    let minutes = stations.filter_map(|station| match station {
        Station::Slope(slope) | Station::Demonstration(slope) => {
            weekend.book.course.minutes_to(slope, job.place())
        }
        Station::Theory => None,
    });
    minutes.max().unwrap_or(0)
}

/// For what is still open, whoever teaches the lesson, then people of two slopes in use: one of them stands whatever
/// happens on the other. Judgement, no source.
fn with_those_who_stand(
    weekend: &Weekend,
    slot: usize,
    mut chosen: [Option<Holder>; 3],
) -> [Option<Holder>; 3] {
    let mut lesson = weekend.on_duty(Station::Theory, slot, true).into_iter();
    for post in wanted(weekend).iter().copied() {
        if chosen[post].is_some() {
            continue;
        }
        chosen[post] = lesson.next().map(Holder::Lesson).or_else(|| standing(weekend, slot, Job::ALL[post]));
    }
    chosen
}

/// The people at a post of two slopes in use, those nearest to where they are called to; none where only one is.
fn standing(weekend: &Weekend, slot: usize, job: Job) -> Option<Holder> {
    let post = job.of_post();
    let here = weekend.rota.duties.iter().filter(|duty| (duty.slot, duty.post) == (slot, post));
    let mut found: Vec<(usize, usize)> = Vec::new();
    for duty in here {
        let (Station::Slope(slope) | Station::Demonstration(slope)) = duty.station else { continue };
        if !found.iter().any(|(_, known)| *known == slope) {
            found.push((duty.person, slope));
        }
    }
    found.sort_by_key(|(_, slope)| (weekend.book.course.minutes_to(*slope, job.place()), *slope));
    match found[..] {
        [one, two, ..] => Some(Holder::Standing([one, two])),
        _ => None,
    }
}

/// Staff with nothing to do in a slot, whoever is in charge and whoever gives first aid left out.
pub(crate) fn free(weekend: &Weekend, slot: usize) -> Vec<usize> {
    let book = weekend.book;
    let first_aid = doing(book.course, Role::FirstAider, book.missing());
    let leads = doing(book.course, Role::Lead, book.missing());
    let time = weekend.rota.slots[slot];
    let stand_in = deputies(book.course, book.missing(), time).unwrap_or_default();
    let busy = |at: usize| {
        weekend.rota.duties.iter().any(|duty| (duty.person, duty.slot) == (at, slot))
            || stand_in.contains(&at)
            || !person_there(book.course, at, time)
    };
    let serves = |role: Role| matches!(role, Role::Instructor | Role::Marshal | Role::Spotter);
    let there = book.there().filter(|(_, person)| serves(person.role)).map(|(at, _)| at);
    there.filter(|at| !busy(*at) && !first_aid.contains(at) && !leads.contains(at)).collect()
}
