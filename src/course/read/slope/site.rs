//! Reading the plan of the site: every spot a pair of numbers, every line held against what was measured.

mod things;

use crate::course::cursor::{Field, Fields, Names, Noted, Read};
use crate::course::{North, Origin, SiteArea, SitePlan, Slope, SlopePlan, Spot, length_of};
use crate::quantity::{Angle, Length, Ratio};
use things::Lanes;

/// Farthest from the origin, m: what one day's site can hold.
const FARTHEST: f64 = 5000.0;
/// Most things of one kind.
const MOST: usize = 60;
/// How far off a spot may be where the course does not say, m: a telephone in the open. From memory.
const TELEPHONE: f64 = 5.0;
/// Part of a length that a tape laid over rough ground may be off. Judgement.
const TAPE: f64 = 0.01;

/// How the plan's numbers are read.
#[derive(Clone, Copy)]
struct Grid {
    /// One of its units, m.
    unit: f64,
    /// What the unit is called.
    called: &'static str,
}

const UNITS: &[(&str, Grid)] =
    &[("m", Grid { unit: 1.0, called: "m" }), ("ft", Grid { unit: 0.3048, called: "ft" })];

/// `site-plan: {measured-in: m, slopes: […], points: […], lines: […], areas: […]}`.
pub(in crate::course::read) fn site_plan(
    field: &Field,
    names: &Names,
    slopes: Option<&[Slope]>,
) -> Read<SitePlan> {
    let mut fields = Fields::of(field, "a site plan")?;
    let grid = fields.required("measured-in", "measured-in: m", |field| field.choice(UNITS));
    let origin = fields.optional("origin", |field| origin(&field));
    let north = fields.optional("north", |field| {
        field.choice(&[("true", North::True), ("grid", North::Grid), ("magnetic", North::Magnetic)])
    });
    let accurate_to = fields.optional("accurate-to", |field| field.within::<Length>("1 cm", "30 m"));
    // Without its unit no number of it can be read; the rest is asked for, so that only unknown keys are noted.
    let Ok(grid) = grid else {
        fields.field("slopes");
        fields.field("points");
        fields.field("lines");
        fields.field("areas");
        fields.finish();
        return Err(Noted);
    };
    let off = accurate_to.as_ref().ok().copied().flatten().map_or(TELEPHONE, Length::si);
    let areas =
        fields.optional_list("areas", |field| few(&field, "an area", |item| things::area(item, grid)));
    let kept_out: Vec<SiteArea> = areas.as_ref().ok().cloned().unwrap_or_default();
    let plans = fields.optional_list("slopes", |field| {
        let asked = SlopeReader { names, slopes, grid, off, areas: &kept_out };
        let items = field.items("a slope's place")?;
        let read: Vec<Read<SlopePlan>> = items.iter().map(|item| asked.read(item)).collect();
        for (at, plan) in read.iter().enumerate() {
            let Ok(plan) = plan else { continue };
            let earlier =
                read[..at].iter().position(|other| other.as_ref().is_ok_and(|o| o.slope == plan.slope));
            if let Some(earlier) = earlier {
                second_brow(&items[at], &items[earlier], &plan.slope);
            }
        }
        read.into_iter().collect()
    });
    let lines = fields.optional_list("lines", |field| few(&field, "a line", |item| things::line(item, grid)));
    let points = fields.optional_list("points", |field| {
        let placed = plans.as_ref().ok().map_or(&[][..], Vec::as_slice);
        things::points(&field, grid, &Lanes { plans: placed, slopes: slopes.unwrap_or_default() }, &kept_out)
    });
    fields.finish();
    Ok(SitePlan {
        origin: origin?.unwrap_or_default(),
        north: north?,
        accurate_to: accurate_to?.unwrap_or(Length::new(TELEPHONE)),
        slopes: plans?,
        points: points?,
        lines: lines?,
        areas: areas?,
    })
}

fn second_brow(item: &Field, first: &Field, slope: &str) {
    let place =
        |item: &Field| Fields::of(item, "").ok().and_then(|fields| Some(fields.peek("slope")?.span()));
    let message = format!("a second brow for slope `{slope}`");
    let problem =
        crate::problem::Problem::new(message).help("a slope lies in one place; take one of the two out");
    let at = place(item).unwrap_or_else(|| item.span());
    item.log.note(problem.at(at).related(place(first).unwrap_or_else(|| first.span()), "the first"));
}

/// A list of things, not so many that no page could show them.
fn few<'a, T>(field: &Field<'a>, what: &'a str, read: impl Fn(&Field<'a>) -> Read<T>) -> Read<Vec<T>> {
    let items = field.items(what)?;
    if items.len() > MOST {
        let message = format!("`{}` holds {} things, more than a plan can show", field.name, items.len());
        return Err(
            field.problem(message, format!("keep the {MOST} that matter most to people on the ground"))
        );
    }
    items.iter().map(read).collect::<Vec<_>>().into_iter().collect()
}

/// `{is: Gate post, latitude: 48.3, longitude: -31.7, grid: 'AB 123 456'}`.
fn origin(field: &Field) -> Read<Origin> {
    let mut fields = Fields::of(field, "an origin")?;
    let is = fields.optional("is", Field::text);
    let degrees = |low, high| move |field: Field| field.within::<Ratio>(low, high);
    let latitude = fields.optional("latitude", degrees("-85", "85"));
    let longitude = fields.optional("longitude", degrees("-180", "180"));
    let grid = fields.optional("grid", Field::text);
    let both = match (&latitude, &longitude) {
        (Ok(Some(_)), Ok(None)) => Err(fields.lacking("longitude", "longitude: -31.7")),
        (Ok(None), Ok(Some(_))) => Err(fields.lacking("latitude", "latitude: 48.3")),
        _ => Ok(()),
    };
    fields.finish();
    both?;
    let degrees = latitude?.zip(longitude?).map(|(lat, lon)| [lat.si(), lon.si()]);
    Ok(Origin { is: is?, degrees, grid: grid? })
}

/// `[12, 40]`: east of the origin, then north.
fn spot(field: &Field, grid: Grid) -> Read<Spot> {
    const HELP: &str = "write [12, 40]: east of the origin, then north; west and south are negative";
    let numbers = match field.items("a number") {
        Ok(numbers) if numbers.len() == 2 => numbers,
        Ok(numbers) => {
            let message = format!("a spot has two numbers, here are {}", numbers.len());
            return Err(field.problem(message, HELP));
        }
        Err(noted) => return Err(noted),
    };
    let read = |at: usize, way: &str| -> Read<f64> {
        let number = numbers[at].within::<Ratio>("-1000000", "1000000")?.si() * grid.unit;
        if number.abs() > FARTHEST {
            let far = number.abs() / grid.unit;
            let message = format!("{far:.0} {} {way} is no place of this site", grid.called);
            let most = FARTHEST / grid.unit;
            let help =
                format!("a spot lies within {most:.0} {} of the origin: check the number", grid.called);
            return Err(numbers[at].problem(message, help));
        }
        Ok(number)
    };
    let (east, north) = (read(0, "east or west"), read(1, "north or south"));
    Ok(Spot { east: east?, north: north? })
}

/// Spots one after the other, `least` of them or more.
fn spots(field: &Field, grid: Grid, least: usize) -> Read<Vec<Spot>> {
    let spots = few(field, "a spot", |item| spot(item, grid))?;
    if spots.len() < least {
        let message = format!("`{}` has {} of the {least} spots it needs", field.name, spots.len());
        return Err(field.problem(message, "write each as [east, north]: [[0, 40], [0, 12]]"));
    }
    Ok(spots)
}

/// What the place of a slope is read with.
struct SlopeReader<'r> {
    names: &'r Names,
    slopes: Option<&'r [Slope]>,
    grid: Grid,
    /// How far off a spot may be, m.
    off: f64,
    areas: &'r [SiteArea],
}

impl SlopeReader<'_> {
    fn read(&self, item: &Field) -> Read<SlopePlan> {
        let grid = self.grid;
        let mut fields = Fields::of(item, "a slope's place")?;
        let one = |field: Field| spot(&field, grid);
        let slope = fields.required("slope", "slope: nursery", |field| self.names.refer(&field));
        let brow = fields.required("brow", "brow: [0, 40]", one);
        let via = fields.optional_list("via", |field| spots(&field, grid, 1));
        let foot = fields.required("foot", "foot: [0, 12]", one);
        let run_out = fields.optional_list("run-out", |field| spots(&field, grid, 1));
        let spotter = fields.optional("spotter", one);
        let assessor = fields.optional("assessor", one);
        let bank = fields.optional("bank", one);
        let marshals = fields.optional_list("marshals", |field| spots(&field, grid, 1));
        let waiting = fields.optional("waiting", one);
        let way_out = fields.optional_list("way-out", |field| spots(&field, grid, 1));
        let escape = fields.optional_list("escape", |field| spots(&field, grid, 2));
        let line = || Some([&[brow.ok()?][..], via.as_ref().ok()?, &[foot.ok()?]].concat());
        let (line, measured) = (line(), slope.as_ref().ok().and_then(|id| self.measured(id)));
        let mut plan = line.map(|line| SlopePlan {
            slope: slope.as_ref().map_or_else(|_| String::new(), Clone::clone),
            line,
            run_out: run_out.clone().unwrap_or_default(),
            spotter: spotter.ok().flatten(),
            assessor: assessor.ok().flatten(),
            bank: bank.ok().flatten(),
            marshals: marshals.clone().unwrap_or_default(),
            waiting: waiting.ok().flatten(),
            way_out: way_out.clone().unwrap_or_default(),
            escape: escape.clone().unwrap_or_default(),
        });
        let mut agrees = Ok(());
        if let (Some(plan), Some(measured)) = (&mut plan, measured) {
            agrees = self.agrees(&fields, plan, measured);
            if plan.run_out.is_empty() && run_out.is_ok() {
                plan.run_out.extend(straight_on(plan, measured));
            }
            if agrees.is_ok() {
                agrees = self.clear_of_wheels(&fields, plan, measured);
            }
            if agrees.is_ok() {
                agrees = self.leads_out(&fields, plan, measured);
            }
        }
        fields.finish();
        for part in
            [brow.err(), foot.err(), via.err(), run_out.err(), marshals.err(), way_out.err(), escape.err()]
        {
            part.map_or(Ok(()), Err)?;
        }
        for part in [spotter.err(), assessor.err(), bank.err(), waiting.err(), slope.err(), agrees.err()] {
            part.map_or(Ok(()), Err)?;
        }
        plan.ok_or(Noted)
    }

    fn measured(&self, id: &str) -> Option<&Slope> {
        self.slopes?.iter().find(|slope| slope.id == id)
    }

    /// Line and run-out are as long on the plan as they were measured along the ground.
    fn agrees(&self, fields: &Fields, plan: &SlopePlan, slope: &Slope) -> Read<()> {
        let step = slope.survey.as_ref().and_then(|survey| survey.reads_to).map_or(0.0, Angle::si);
        let turned: f64 =
            slope.stretches.iter().map(|s| s.length.si() * libm::sin(s.gradient.si()) * step).sum();
        let line =
            self.same(fields, "foot", "brow to foot", plan.length(), slope.level_length().si(), turned);
        let Some(run_out) = slope.run_out.as_ref().filter(|_| !plan.run_out.is_empty()) else { return line };
        let level = run_out.length.si() * libm::cos(run_out.gradient.si());
        let drawn = length_of(&[&[plan.foot()][..], &plan.run_out].concat());
        line.and(self.same(fields, "run-out", "the run-out", drawn, level, 0.0))
    }

    /// The way out of a line that leans begins on the line, is as long as it was measured, and leads into nothing.
    fn leads_out(&self, fields: &Fields, plan: &SlopePlan, slope: &Slope) -> Read<()> {
        let Some(first) = plan.escape.first() else { return Ok(()) };
        let Some(measured) = &slope.escape else {
            let message = format!("`escape` is drawn, and {} has none", slope.name);
            let help =
                "measure it, and write it with the slope: escape: {length: 12 m, run-out: {length: 12 m}}";
            return Err(fields.problem("escape", message, help));
        };
        let off = plan.beside(*first).off;
        if off > SlopePlan::half_lane(slope) + self.off {
            let Grid { unit, called } = self.grid;
            let message = format!("`escape` begins {:.0} {called} from the line driven", off / unit);
            return Err(fields.problem("escape", message, "its first spot lies on the line"));
        }
        if let Some(name) = things::driven_into(self.areas, &plan.escape) {
            let message = format!("`escape` leads into {name}");
            let help =
                "a way out ends where a vehicle can stand: move it, or close the slope until there is one";
            return Err(fields.problem("escape", message, help));
        }
        let level = |length: Length, gradient: Angle| length.si() * libm::cos(gradient.si());
        let run_out = &measured.run_out;
        let long = level(measured.length, measured.gradient.unwrap_or_default())
            + level(run_out.length, run_out.gradient);
        self.same(fields, "escape", "the way out", length_of(&plan.escape), long, 0.05 * measured.length.si())
    }

    /// Both ends as far off as they may be, a tape over rough ground, and the step of the level.
    fn same(&self, fields: &Fields, key: &str, what: &str, drawn: f64, level: f64, turned: f64) -> Read<()> {
        let allowed = 2.0 * self.off + TAPE * level + turned;
        if (drawn - level).abs() <= allowed {
            return Ok(());
        }
        let Grid { unit, called } = self.grid;
        let message = format!(
            "{what} is {:.0} {called} on the plan, and {:.0} {called} as it was measured, level",
            drawn / unit,
            level / unit
        );
        let help = format!(
            "the instruments allow {:.1} {called}: check brow and foot, east before north, or the slope's lengths",
            allowed / unit
        );
        Err(fields.problem(key, message, help))
    }

    /// Nobody's stand lies where wheels come, or where nobody goes.
    fn clear_of_wheels(&self, fields: &Fields, plan: &SlopePlan, slope: &Slope) -> Read<()> {
        let half = SlopePlan::half_lane(slope);
        let marshals = plan.marshals.iter().map(|spot| ("marshals", Some(*spot)));
        let alone = [
            ("spotter", plan.spotter),
            ("assessor", plan.assessor),
            ("bank", plan.bank),
            ("waiting", plan.waiting),
        ];
        for (key, spot) in alone.into_iter().chain(marshals) {
            let Some(spot) = spot else { continue };
            let off = plan.beside(spot).off;
            if off < half {
                let Grid { unit, called } = self.grid;
                let message = format!(
                    "`{key}` stands {:.1} {called} from the middle of the line, where wheels come",
                    off / unit
                );
                let help = format!("the lane is {:.1} {called} to each side; check the spot", half / unit);
                return Err(fields.problem(key, message, help));
            }
            if plan.in_line_with_the_way_out(spot, slope) {
                let message = format!("`{key}` stands in line with the way out");
                let help = "move it to the side: whoever comes down the way out may not stop at its end";
                return Err(fields.problem(key, message, help));
            }
            if let Some(name) = things::kept_out(self.areas, spot) {
                let message = format!("`{key}` stands in {name}, where nobody goes");
                return Err(fields.problem(key, message, "check the spot, or the corners of the area"));
            }
        }
        Ok(())
    }
}

/// The end of a run-out that the plan does not draw: straight on, as long as it was measured.
fn straight_on(plan: &SlopePlan, slope: &Slope) -> Option<Spot> {
    let run_out = slope.run_out.as_ref()?;
    let level = run_out.length.si() * libm::cos(run_out.gradient.si());
    let [.., before, foot] = plan.line[..] else { return None };
    let last = before.to(foot);
    (last > 0.0).then(|| before.towards(foot, 1.0 + level / last))
}
