//! Who talks on which radio channel, where slopes have channels of their own: control keeps the day's, and the brow of
//! such a slope hears both, since it starts the vehicles and so can hold them when control calls. Judgement, no source.

use serde::Serialize;

use crate::course::Name;
use crate::pack::book::Book;

/// A channel of the radio plan.
#[derive(Serialize)]
pub(crate) struct Listens {
    pub channel: String,
    /// The slopes on it; control's has the rest of the day.
    pub what: String,
    pub who: String,
}

/// The channel of a slope by its place in the course, where it is not control's.
pub(crate) fn own(book: &Book, slope: usize) -> Option<String> {
    let slope = book.course.slopes.get(slope)?;
    book.course.own_channel(slope).map(Name::short)
}

/// Slopes by their channels, in the order given: `S3, S4 Channel 4; S5 Channel 6`; none where there are no pairs.
pub(crate) fn said(pairs: impl Iterator<Item = (String, String)>) -> Option<String> {
    let by_channel = by_channel(pairs);
    let said: Vec<String> =
        by_channel.iter().map(|(channel, marks)| format!("{} {channel}", marks.join(", "))).collect();
    (!said.is_empty()).then(|| said.join("; "))
}

/// The same of all slopes that somebody drives today.
pub(crate) fn all(book: &Book) -> Option<String> {
    said(pairs(book).into_iter())
}

/// Every slope in use with a channel of its own, by its mark.
fn pairs(book: &Book) -> Vec<(String, String)> {
    let closed = |at: &usize| book.missing().slopes.contains(at) || !book.course.drives_today(*at);
    let open = (0..book.course.slopes.len()).filter(|at| !closed(at));
    open.filter_map(|at| Some((book.slope_mark(&book.course.slopes[at].id), own(book, at)?))).collect()
}

fn by_channel(pairs: impl Iterator<Item = (String, String)>) -> Vec<(String, Vec<String>)> {
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    for (mark, channel) in pairs {
        match all.iter_mut().find(|(known, _)| *known == channel) {
            Some((_, marks)) if marks.contains(&mark) => {}
            Some((_, marks)) => marks.push(mark),
            None => all.push((channel, vec![mark])),
        }
    }
    all
}

/// Who listens where; nothing where everybody is on one channel.
pub(crate) fn listening(book: &Book) -> Vec<Listens> {
    let by_channel = by_channel(pairs(book).into_iter());
    let Some(control) = book.course.day.channel.as_ref().filter(|_| !by_channel.is_empty()) else {
        return Vec::new();
    };
    let marks: Vec<&str> = by_channel.iter().flat_map(|(_, marks)| marks).map(String::as_str).collect();
    let control = Listens {
        channel: control.short(),
        what: "control, and all that is not below".to_owned(),
        who: format!(
            "control, first aid, deputy, gate, telephone; everybody on their way between slopes; and the brow of {} as \
             well",
            marks.join(", ")
        ),
    };
    let slopes = by_channel.into_iter().map(|(channel, marks)| Listens {
        channel,
        what: marks.join(", "),
        who: "brow, foot, instructor; drivers while they are there".to_owned(),
    });
    std::iter::once(control).chain(slopes).collect()
}
