//! Reading recovery points: what each is and at which end, as the course writes it.

use crate::course::cursor::{Field, Fields, Noted, Read};
use crate::course::{End, PointKind, RecoveryPoint, Side};
use crate::quantity::Force;

const KINDS: &[(&str, PointKind)] = &[
    ("chassis-point", PointKind::Chassis),
    ("hitch", PointKind::Hitch),
    ("towing-eye", PointKind::TowingEye),
    ("tow-ball", PointKind::TowBall),
    ("lashing-point", PointKind::LashingPoint),
    ("bumper", PointKind::Bumper),
    ("unknown", PointKind::Unknown),
];

/// The two ends of a vehicle.
pub(in crate::course::read) const ENDS: &[(&str, End)] = &[("front", End::Front), ("rear", End::Rear)];

/// The two sides of a vehicle.
const SIDES: &[(&str, Side)] = &[("left", Side::Left), ("right", Side::Right)];

/// A recovery point. What it is and where is never taken from the words of its place.
pub(super) fn recovery_point(item: &Field) -> Read<RecoveryPoint> {
    let mut fields = Fields::of(item, "a recovery point")?;
    let place = fields.required("place", "place: left chassis rail", Field::text);
    let side = fields.optional("side", |field| field.choice(SIDES));
    let working_load = fields.optional("working-load", |field| field.within::<Force>("1 kN", "500 kN"));
    let said = [fields.field("kind").is_some(), fields.field("end").is_some()];
    if said != [true, true] {
        let noted = unsaid(&fields, said);
        // Asked for above: only keys that are unknown are noted here.
        fields.finish();
        return Err(noted);
    }
    let kind = fields.required("kind", "kind: chassis-point", |field| field.choice(KINDS));
    let end = fields.required("end", "end: rear", |field| field.choice(ENDS));
    fields.finish();
    Ok(RecoveryPoint { place: place?, kind: kind?, end: end?, side: side?, working_load: working_load? })
}

/// A point that does not say what it is or where: the line to write, with what it does say.
fn unsaid(fields: &Fields, [kind, end]: [bool; 2]) -> Noted {
    let missing = match (kind, end) {
        (false, false) => "`kind` and `end`",
        (false, true) => "`kind`",
        _ => "`end`",
    };
    let typed = |key: &str| fields.peek(key).and_then(|field| field.word("").ok().map(str::to_owned));
    let place = typed("place").unwrap_or_else(|| "left chassis rail".to_owned());
    let load = typed("working-load").map_or_else(String::new, |load| format!(", working-load: {load}"));
    let [kind, end] = [("kind", "chassis-point"), ("end", "rear")]
        .map(|(key, usual)| typed(key).unwrap_or_else(|| usual.to_owned()));
    let kinds: Vec<&str> = KINDS.iter().map(|(word, _)| *word).collect();
    fields.problem(
        "place",
        format!("a recovery point needs {missing}: what it is is not guessed from the words of its place"),
        format!(
            "write `- {{place: '{}', kind: {kind}, end: {end}{load}}}` with its own kind ({}) and end (front, rear)",
            place.replace('\'', "''"),
            kinds.join(", ")
        ),
    )
}
