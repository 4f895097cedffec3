//! Reading gearbox, transfer case, axle, hub and differentials.

use super::fill::Fill;
use crate::course::cursor::{Field, Fields, Read};
use crate::course::tree::Value;
use crate::course::{Differentials, Driven, Gearbox, Known, LOW_UNTOLD, Lock, Transmission, classes};
use crate::quantity::{Ratio, Share, Speed};

/// More gears than any gearbox has in one range.
const MOST_GEARS: usize = 12;

/// Gearbox, transfer case, axle and hub, from the vehicle's own keys.
pub(super) fn transmission(fields: &mut Fields, fill: &Fill) -> Read<Transmission> {
    let gearbox = gearbox(fields, fill);
    let transfer = match fields.field("transfer") {
        Some(field) => transfer(&field, fill),
        None => untold_transfer(fill),
    };
    let axle = fields.optional("axle", |field| field.within::<Ratio>("1", "15"));
    let axle = fill.or("axle", axle, fill.usual.axle);
    let hub = fields.optional("hub", |field| field.within::<Ratio>("1", "8"));
    let efficiency = fields.optional("efficiency", |field| field.within::<Share>("60 %", "100 %"));
    let drive = fields.optional("drive", |field| {
        let ways = [
            ("all-wheels", Driven::AllWheels),
            ("rear", Driven::Rear),
            ("front", Driven::Front),
            ("unknown", Driven::Unknown),
        ];
        field.choice(&ways)
    });
    let differentials = fields.optional("differentials", |field| differentials(&field));
    let (kind, ratios, reverse, lock_up_from) = gearbox?;
    let (transfer_high, transfer_low) = transfer?;
    let hub = hub?.unwrap_or(Ratio::new(1.0));
    let driven = match (drive?, transfer_low) {
        (Some(driven), _) => driven,
        // A low range drives all wheels: common practice, no source.
        (None, Some(_)) => fill.or("drive", Ok(None), Driven::AllWheels)?,
        (None, None) => Driven::Unknown,
    };
    Ok(Transmission {
        gearbox: kind,
        ratios,
        reverse,
        transfer_high,
        transfer_low,
        axle: axle?,
        hub,
        efficiency: Known::or(efficiency?, classes::efficiency(kind, hub)),
        driven,
        differentials: differentials?.unwrap_or_else(unknown_differentials),
        lock_up_from,
    })
}

/// Differentials nobody described.
fn unknown_differentials() -> Differentials {
    let unknown = Lock::Unknown;
    let front_share = Known::estimated(classes::centre_front_share());
    Differentials { centre: unknown, front: unknown, rear: unknown, front_share }
}

/// `{centre: locked, front: open, rear: limited}`, as they are on the descent.
fn differentials(field: &Field) -> Read<Differentials> {
    let mut fields = Fields::of(field, "`differentials`")?;
    let lock = |field: Field| {
        field.choice(&[
            ("open", Lock::Open),
            ("limited", Lock::Limited),
            ("locked", Lock::Locked),
            // A part-time transfer case has none: engaged, its axles turn together.
            ("none", Lock::Absent),
            ("unknown", Lock::Unknown),
        ])
    };
    let centre = fields.optional("centre", lock);
    let front = fields.optional("front", lock);
    let rear = fields.optional("rear", lock);
    let share = fields.optional("front-share", |field| field.within::<Share>("10 %", "90 %"));
    fields.finish();
    Ok(Differentials {
        centre: centre?.unwrap_or(Lock::Unknown),
        front: front?.unwrap_or(Lock::Unknown),
        rear: rear?.unwrap_or(Lock::Unknown),
        front_share: Known::or(share?, classes::centre_front_share()),
    })
}

type GearboxParts = (Gearbox, Vec<Ratio>, Option<Ratio>, Option<Speed>);

/// The class's high range alone: a low range that nobody told of would promise more than the vehicle may hold.
fn untold_transfer(fill: &Fill) -> Read<(Ratio, Option<Ratio>)> {
    let high = fill.or("transfer-high", Ok(None), fill.usual.high)?;
    Ok((high, fill.or(LOW_UNTOLD, Ok(None), None)?))
}

fn gearbox(vehicle: &mut Fields, fill: &Fill) -> Read<GearboxParts> {
    let mut fields = vehicle.inner("gearbox", "a gearbox")?;
    let kind = fields.optional("kind", |field| {
        field.choice(&[
            ("manual", Gearbox::Manual),
            ("automatic-locked", Gearbox::AutomaticLocked),
            ("automatic-unlocked", Gearbox::AutomaticUnlocked),
        ])
    });
    let ratios = fields.optional("ratios", |field| ratios(&field));
    let ratios = fill.or("ratios", ratios, fill.usual.ratios());
    let kind = fill.or("gearbox", kind, Gearbox::Manual);
    let reverse = fields.optional("reverse", |field| field.within::<Ratio>("0.3", "25"));
    let lock_up = fields.optional("lock-up-from", |field| field.within::<Speed>("0.5 km/h", "80 km/h"));
    if let (Ok(kind), Ok(Some(_))) = (kind, lock_up)
        && kind != Gearbox::AutomaticLocked
    {
        let help = "keep it beside `kind: automatic-locked`, or take it out";
        fields.problem("lock-up-from", "only a converter that locks has a lock-up", help);
    }
    fields.finish();
    Ok((kind?, ratios?, reverse?, lock_up?))
}

/// Forward ratios, first gear first.
fn ratios(field: &Field) -> Read<Vec<Ratio>> {
    let items = field.items("a gear ratio")?;
    if items.len() > MOST_GEARS {
        let message = format!("{} gears are more than the {MOST_GEARS} a gearbox may have", items.len());
        return Err(field.problem(message, "write the gearbox alone; the transfer case has its own key"));
    }
    let read: Vec<Read<Ratio>> = items.iter().map(|item| item.within::<Ratio>("0.3", "25")).collect();
    for (pair, item) in read.windows(2).zip(&items[1..]) {
        if let [Ok(before), Ok(after)] = pair
            && after >= before
        {
            let help = "write first gear first; each further gear has a smaller ratio";
            item.problem("the gear ratios do not fall from gear to gear", help);
        }
    }
    read.into_iter().collect()
}

/// `{high: 1.2, low: 2.7}`, `{low: yes}` of a low range whose ratio nobody knows; `{low: no}`, or one number for a transfer
/// case, or none, without a low range.
fn transfer(field: &Field, fill: &Fill) -> Read<(Ratio, Option<Ratio>)> {
    let ratio = |field: Field| field.within::<Ratio>("0.5", "10");
    if matches!(field.node.value, Value::Text(_)) {
        return Ok((ratio(field.clone())?, None));
    }
    let mut fields = Fields::of(field, "`transfer`")?;
    let high = fields.optional("high", ratio);
    let high = fill.or("transfer-high", high, fill.usual.high);
    let low = fields.optional("low", |field| {
        // That it has one is known, its ratio is not.
        let word = field.word("2.7")?;
        if !["yes", "true", "no", "false"].contains(&word) {
            return ratio(field).map(Some);
        }
        let there = field.choice(&[("yes", true), ("true", true), ("no", false), ("false", false)])?;
        if there { fill.or("transfer-low", Ok(None), fill.usual.low).map(Some) } else { Ok(None) }
    });
    let low = low.map(Option::flatten);
    if let (Ok(high), Ok(Some(low))) = (high, low)
        && low <= high
    {
        let help = "low range gears down further than high, so its number is the larger one";
        fields.conflict("low", "high", "high range", "low range is not lower than high".into(), help);
    }
    fields.finish();
    Ok((high?, low?))
}
