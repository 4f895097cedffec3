//! The limit of speed as a page of the whole day says it.

use crate::pack::book::Book;
use crate::pack::sheet::own_limit::own_limits;

/// The course's limit of speed with those of vehicles that drive with one of their own: `8 km/h (D: 6.6)`.
pub(crate) fn limit_with_own(book: &Book) -> String {
    let mut own: Vec<String> = Vec::new();
    for row in book.slopes.iter().flat_map(|sheet| own_limits(&sheet.descents)) {
        if !own.contains(&row) {
            own.push(row);
        }
    }
    let limit = book.show.limit(book.course.limits.descent_speed.si()).text();
    if own.is_empty() { limit } else { format!("{limit} ({})", own.join(", ")) }
}
