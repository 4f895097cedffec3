//! Reading kit and its ratings.

mod rig;

use crate::course::cursor::{Field, Fields, Names, Read};
use crate::course::{KitItem, KitKind, Rating};
use crate::quantity::{Force, Length, Mass, Ratio};

const KINDS: &[(&str, KitKind)] = &[
    ("winch", KitKind::Winch),
    ("line", KitKind::Line),
    ("kinetic-rope", KitKind::KineticRope),
    ("tow-bar", KitKind::TowBar),
    ("strap", KitKind::Strap),
    ("snatch-block", KitKind::SnatchBlock),
    ("shackle", KitKind::Shackle),
    ("ground-anchor", KitKind::GroundAnchor),
    ("damper", KitKind::Damper),
    ("edge-guard", KitKind::EdgeGuard),
    ("gloves", KitKind::Gloves),
    ("shovel", KitKind::Shovel),
    ("boards", KitKind::Boards),
    ("chock", KitKind::Chock),
    ("first-aid", KitKind::FirstAid),
    ("extinguisher", KitKind::Extinguisher),
    ("radio", KitKind::Radio),
    ("throw-line", KitKind::ThrowLine),
    ("vest", KitKind::Vest),
    ("barrier", KitKind::Barrier),
    ("pegs", KitKind::Pegs),
    ("watch", KitKind::Watch),
    ("tape", KitKind::Tape),
    ("gauge", KitKind::Gauge),
    ("rake", KitKind::Rake),
    ("other", KitKind::Other),
];

/// The list of kit; winches name vehicles of the course.
pub(super) fn kit(field: &Field, vehicles: &Names, slopes: &Names) -> Read<Vec<KitItem>> {
    let pieces = Names::in_list("piece of kit", Some(field));
    field.list("a piece of kit", |item| piece(&item, &Known { pieces: &pieces, vehicles, slopes }))
}

/// Names a piece of kit may refer to.
pub(super) struct Known<'a> {
    pieces: &'a Names,
    vehicles: &'a Names,
    slopes: &'a Names,
}

fn piece(item: &Field, known: &Known) -> Read<KitItem> {
    let mut fields = Fields::of(item, "a piece of kit")?;
    let id = fields.required("id", "id: strap-1", Field::id);
    let name = fields.required("name", "name: Anchor strap, 3 m", Field::text);
    let kind = fields.required("kind", "kind: strap", |field| field.choice(KINDS));
    let count = fields.optional("count", |field| field.whole(1, 500));
    let rating = rating(&mut fields);
    let length = fields.optional("length", |field| field.within::<Length>("1 cm", "500 m"));
    let mass = fields.optional("mass", |field| field.within::<Mass>("10 g", "2 t"));
    let note = fields.optional("note", Field::text);
    let rig = rig::data(&mut fields, kind, known);
    fields.finish();
    Ok(KitItem {
        id: id?,
        name: name?,
        kind: kind?,
        count: count?.unwrap_or(1),
        rating: rating?,
        length: length?,
        mass: mass?,
        note: note?,
        rig: rig?,
    })
}

fn rating(fields: &mut Fields) -> Read<Rating> {
    let load = |field: Field| Ok(field.within::<Force>("0.1 kN", "2000 kN")?.si());
    let working_load = fields.optional("working-load", load);
    let breaking = fields.optional("breaking", load);
    let design_factor = fields.optional("design-factor", |field| field.within::<Ratio>("1", "12"));
    let rating = Rating { working_load: working_load?, breaking: breaking?, design_factor: design_factor? };
    check(fields, rating)?;
    Ok(rating)
}

/// The three must agree when all are given: the factor is strength over load.
fn check(fields: &Fields, rating: Rating) -> Read<()> {
    let (Some(load), Some(strength)) = (rating.working_load, rating.breaking) else { return Ok(()) };
    if strength < load {
        let message = "`breaking` is less than `working-load`".to_owned();
        let help = "the working load limit is the smaller of the two; look at the label again";
        return Err(fields.conflict("breaking", "working-load", "the working load", message, help));
    }
    let Some(factor) = rating.design_factor else { return Ok(()) };
    let real = strength / load;
    if (real / factor.si() - 1.0).abs() > 0.1 {
        let message = format!("strength over working load is {real:.1}, not the design factor given");
        let help = "take the numbers from the label and leave out what it does not say";
        return Err(fields.conflict("design-factor", "breaking", "the strength", message, help));
    }
    Ok(())
}
