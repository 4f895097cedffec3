//! Reading a photograph of a slope: a file's name, or keys.

use crate::course::cursor::{Field, Fields, Read};
use crate::course::{Photograph, SeenLine};
use crate::quantity::Share;

/// A file's name alone, or with what it shows and where brow and foot are seen.
pub(super) fn photograph(field: Field) -> Read<Photograph> {
    if field.is_text() {
        return Ok(Photograph { file: field.picture()?, shows: None, line: None });
    }
    let mut fields = Fields::of(&field, "a photograph")?;
    let file = fields.required("file", "file: brow.jpg", Field::picture);
    let shows = fields.optional("shows", Field::text);
    let brow = fields.optional("brow", |field| spot(&field));
    let foot = fields.optional("foot", |field| spot(&field));
    fields.finish();
    let (brow, foot) = (brow?, foot?);
    let line = match (brow, foot) {
        (Some(brow), Some(foot)) if foot[1].si() <= brow[1].si() => {
            let help = "both are [from the left, from the top]: the foot has the greater second figure";
            return Err(field.problem("the foot is not seen below the brow", help));
        }
        (Some(brow), Some(foot)) => Some(SeenLine { brow, foot }),
        (None, None) => None,
        _ => {
            let help = "give `brow: [20 %, 30 %]` and `foot: [85 %, 75 %]`, from the left and from the top, or neither";
            return Err(field.problem("a line in a photograph needs both its ends", help));
        }
    };
    Ok(Photograph { file: file?, shows: shows?, line })
}

/// A place in the picture.
fn spot(field: &Field) -> Read<[Share; 2]> {
    let parts = field.list("a part of the width", |part| part.within::<Share>("0 %", "100 %"))?;
    <[Share; 2]>::try_from(parts).map_err(|_| {
        field
            .problem("a place in a picture has two figures", "from the left, then from the top: [20 %, 30 %]")
    })
}
