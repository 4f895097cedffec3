//! Reading how long people are on their way from one place of the rota to another.

use super::minutes;
use crate::course::cursor::{Field, Fields, Names, Read};
use crate::course::{Timed, Ways};
use crate::quantity::Speed;

/// The word for where the lesson is.
const LESSON: &str = "lesson";

/// `{usual: 5 min, between: [{places: [lawn, step], takes: 12 min}]}`; by a pace only where slopes are on a site plan.
pub(super) fn ways(field: &Field, slopes: &Names, on_plan: bool) -> Read<Ways> {
    let mut fields = Fields::of(field, "`ways`")?;
    let usual = fields.optional("usual", |field| minutes(&field, "0 min", "1 h"));
    let pace = fields.optional("pace", |field| {
        if !on_plan {
            let message = "`pace` needs slopes on a `site-plan`, and the course has none".to_owned();
            return Err(field.problem(message, "write `usual`, and the ways you timed under `between`"));
        }
        field.within::<Speed>("1 km/h", "40 km/h")
    });
    let timed = fields.optional_list("between", |field| {
        let all = field.list("a way between two places", |item| timed(&item, slopes))?;
        once(&field, all)
    });
    fields.finish();
    Ok(Ways { usual: usual?, pace: pace?, timed: timed? })
}

fn timed(item: &Field, slopes: &Names) -> Read<Timed> {
    let mut fields = Fields::of(item, "a way between two places")?;
    let ends = fields.required("places", "places: [nursery, step]", |field| {
        let ends = field.list("a slope's id, or `lesson`", |item| slopes.refer_or(LESSON, &item))?;
        match <[Option<String>; 2]>::try_from(ends) {
            Ok([one, two]) if one != two => Ok([one, two]),
            _ => Err(field.problem("a way has two different ends", "name two: places: [nursery, step]")),
        }
    });
    let takes = fields.required("takes", "takes: 10 min", |field| minutes(&field, "0 min", "1 h"));
    fields.finish();
    Ok(Timed { ends: ends?, minutes: takes? })
}

/// No way is timed twice.
fn once(field: &Field, all: Vec<Timed>) -> Read<Vec<Timed>> {
    let same = |one: &Timed, two: &Timed| {
        let [first, second] = &one.ends;
        two.ends == one.ends || two.ends == [second.clone(), first.clone()]
    };
    let twice = (0..all.len()).find(|at| all[..*at].iter().any(|one| same(one, &all[*at])));
    let Some(twice) = twice else { return Ok(all) };
    let [one, two] = all[twice].ends.clone().map(|end| end.unwrap_or_else(|| LESSON.to_owned()));
    Err(field.problem(
        format!("`between` says twice how long it is from {one} to {two}"),
        "write it once: it holds both ways",
    ))
}
