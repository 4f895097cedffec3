//! Reading what was measured on the day: from the course, or from a table keyed from the day's own sheets.

mod brake;
mod kinds;
mod table;

pub(in crate::course::read) use table::attach;

use crate::course::cursor::{Field, Fields, Names, Noted, Read};
use crate::course::{METERS, MeasuredRun, Meter, Reads, Runs, Slope, Vehicle};
use crate::quantity::{Force, Length, Measure, Speed, SpinRate, Time, Written, parse};
use kinds::Kind;

/// Most runs.
const MOST_RUNS: usize = 300;

/// What runs may refer to.
pub(in crate::course::read) struct Known<'a> {
    pub surfaces: &'a Names,
    pub slopes: &'a Names,
    pub vehicles: &'a Names,
    /// Slopes and vehicles as they were read; none where they hold mistakes, which are told of there.
    pub read: Option<(&'a [Slope], &'a [Vehicle])>,
}

impl<'a> Known<'a> {
    fn slope(&self, id: &str) -> Option<&'a Slope> {
        self.read?.0.iter().find(|slope| slope.id == id)
    }

    fn vehicle(&self, id: &str) -> Option<&'a Vehicle> {
        self.read?.1.iter().find(|vehicle| vehicle.id == id)
    }
}

/// The `runs:` part: a list, or the name of a table.
pub(in crate::course::read) fn runs(field: &Field, known: &Known) -> Read<Runs> {
    if field.is_text() {
        return Ok(Runs { file: Some(field.clone().picture()?), list: Vec::new() });
    }
    Ok(Runs { file: None, list: list(&field.items("a run")?, known)? })
}

fn list(items: &[Field], known: &Known) -> Read<Vec<MeasuredRun>> {
    if let Some(one) = items.get(MOST_RUNS) {
        let help = "keep the runs of the last years";
        return Err(one.problem(format!("more than {MOST_RUNS} runs"), help));
    }
    let all: Vec<Read<MeasuredRun>> =
        (1..).zip(items).map(|(number, item)| run(number, item, known)).collect();
    all.into_iter().collect()
}

/// One run. Which keys it needs depends on what was seen, so all are asked for and then judged.
fn run(number: usize, item: &Field, known: &Known) -> Read<MeasuredRun> {
    let mut fields = Fields::of(item, "a run")?;
    let date = fields.required("date", "date: 2026-05-04", |field| {
        let date = field.clone().date()?;
        let help = "write 2026-05-04: a run's figures are kept for years";
        date.day().ok_or_else(|| field.problem("this run's date is no day of the calendar", help))
    });
    let vehicle = fields.required("vehicle", "vehicle: wagon", |field| known.vehicles.refer(&field));
    fields.one_of(&[&["time"], &["engine-speed"], &["slid"], &["coasted"], &["pull"], &["rolled"], &["hot"]]);
    let parts = kinds::Parts::of(&mut fields, vehicle.as_deref().ok(), known);
    let kind = Kind::of(&fields);
    let meter = fields.required("with", "with: watch", |field| meter(&field, kind.ok()));
    let sure = fields.optional("sure", |field| sure(&field, meter));
    let seen = kind.and_then(|kind| parts.seen(kind, &fields));
    fields.finish();
    Ok(MeasuredRun { number, date: date?, vehicle: vehicle?, seen: seen?, meter: meter?, sure: sure? })
}

fn meter(field: &Field, kind: Option<Kind>) -> Read<&'static Meter> {
    let names: Vec<(&str, &'static Meter)> = METERS.iter().map(|meter| (meter.name, meter)).collect();
    let meter = field.choice(&names)?;
    let Some(reads) = kind.map(Kind::reads) else { return Ok(meter) };
    if meter.reads == reads {
        return Ok(meter);
    }
    let fit: Vec<&str> = METERS.iter().filter(|one| one.reads == reads).map(|one| one.name).collect();
    let message = format!("this run cannot be measured with `{}`", meter.name);
    Err(field.problem(message, format!("possible here: {}", fit.join(", "))))
}

/// How far off it is at most in 19 of 20 cases, as what the instrument reads.
fn sure(field: &Field, meter: Read<&'static Meter>) -> Read<f64> {
    let word = field.word("0.2 s")?.trim_start_matches(['±', '+', '/', '-']).trim();
    match meter?.reads {
        Reads::Time => half::<Time>(field, word),
        Reads::Spin => half::<SpinRate>(field, word),
        Reads::Speed => half::<Speed>(field, word),
        Reads::Force => half::<Force>(field, word),
        Reads::Mark => half::<Length>(field, word),
        Reads::Heat => half_of_degrees(field, word),
    }
}

/// A difference of temperatures, K: `5 °C` of it is 5 K, and not 278.
fn half_of_degrees(field: &Field, word: &str) -> Read<f64> {
    let units = [("°C", 1.0), ("K", 1.0), ("°F", 1.0 / 1.8)];
    let read = |(unit, kelvin): &(&str, f64)| {
        Some(word.strip_suffix(unit)?.trim().parse::<f64>().ok()? * kelvin).filter(|half| *half > 0.0)
    };
    units.iter().find_map(read).filter(|half| *half <= 100.0).ok_or_else(|| {
        let help = "write half of the range that holds it in 19 of 20 cases, like 5 °C";
        field.problem("this run's `sure` is no difference of temperatures", help)
    })
}

fn half<T: Written + Measure>(field: &Field, word: &str) -> Read<f64> {
    let problem = |message: String| -> Noted {
        let help = format!("write half of the range that holds it in 19 of 20 cases, like {}", T::EXAMPLE);
        field.problem(message, help)
    };
    let value = parse::<T>(word).map_err(|why| problem(format!("this run's `sure`: {}", why.message)))?;
    let value = value.si();
    (value > 0.0).then_some(value).ok_or_else(|| problem("this run's `sure` is nothing".to_owned()))
}
