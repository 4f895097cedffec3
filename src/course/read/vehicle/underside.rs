//! Reading what hangs lowest under a vehicle.

use crate::course::cursor::{Field, Fields, Read};
use crate::course::{LowPoint, Underside};
use crate::quantity::Length;

/// `underside:` of a vehicle with this wheelbase and, where it is known, this overall diameter of its tyres.
pub(super) fn underside(field: &Field, wheelbase: Read<Length>, diameter: Option<Length>) -> Read<Underside> {
    let mut fields = Fields::of(field, "`underside`")?;
    let hub = fields.required("hub", "hub: 38 cm", |field| hub(&field, diameter));
    let overhang = |item: Field| overhang(&item);
    let nose = fields.optional_list("nose", |field| field.list("a low point", overhang));
    let belly =
        fields.optional_list("belly", |field| field.list("a low point", |item| belly(&item, wheelbase)));
    let tail = fields.optional_list("tail", |field| field.list("a low point", overhang));
    fields.finish();
    Ok(Underside { hub: hub?, nose: nose?, belly: belly?, tail: tail? })
}

/// Half of what a tyre measures in the air is more than a hub is ever above the ground.
fn hub(field: &Field, diameter: Option<Length>) -> Read<Length> {
    let hub: Length = field.within("15 cm", "1 m")?;
    match diameter {
        Some(diameter) if hub.si() > diameter.si() / 2.0 => Err(field.problem(
            "the hub stands higher than the tyre's half diameter",
            "measure from level ground to the middle of the hub, loaded as today and at today's pressure",
        )),
        _ => Ok(hub),
    }
}

fn height(fields: &mut Fields) -> Read<Length> {
    fields.required("height", "height: 44 cm", |field| field.within::<Length>("5 cm", "2 m"))
}

fn overhang(item: &Field) -> Read<LowPoint> {
    let mut fields = Fields::of(item, "a low point")?;
    let from_axle =
        fields.required("from-axle", "from-axle: 82 cm", |field| field.within::<Length>("5 cm", "5 m"));
    let height = height(&mut fields);
    fields.finish();
    Ok(LowPoint { from_axle: Some(from_axle?), height: height? })
}

fn belly(item: &Field, wheelbase: Read<Length>) -> Read<LowPoint> {
    let mut fields = Fields::of(item, "a low point")?;
    let from_axle = fields.optional("from-axle", |field| between_axles(&field, wheelbase));
    let height = height(&mut fields);
    fields.finish();
    Ok(LowPoint { from_axle: from_axle?, height: height? })
}

fn between_axles(field: &Field, wheelbase: Read<Length>) -> Read<Length> {
    let behind: Length = field.within("0 m", "8 m")?;
    if behind.si() >= wheelbase?.si() {
        let help = "measure from the middle of the front axle backwards; what hangs behind the rear axle goes under `tail`";
        return Err(field.problem("this point of the belly lies behind the rear axle", help));
    }
    Ok(behind)
}
