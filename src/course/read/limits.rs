//! Reading the course's own limits and tolerances.

use crate::course::cursor::{Field, Fields, Read};
use crate::course::{Limits, NearRule, RiskCuts, Tolerances};
use crate::quantity::{Angle, Length, Ratio, Share, Speed, Temperature, Time};

/// The course's own limits; the program has none of its own to offer, only tolerances it prints.
pub(super) fn limits(field: &Field) -> Read<Limits> {
    let mut fields = Fields::of(field, "`limits`")?;
    let gradient = fields.required("gradient", "gradient: 25°", |field| field.within::<Angle>("1°", "45°"));
    let side_tilt =
        fields.required("side-tilt", "side-tilt: 12°", |field| field.within::<Angle>("1°", "45°"));
    let descent_speed = fields.required("descent-speed", "descent-speed: 8 km/h", |field| {
        field.within::<Speed>("1 km/h", "40 km/h")
    });
    let brake_temperature = fields.required("brake-temperature", "brake-temperature: 250 °C", |field| {
        field.within::<Temperature>("60 °C", "700 °C")
    });
    let grip = fields.optional("grip-in-hand", |field| field.within::<Share>("5 %", "80 %"));
    let reaction = fields.optional("reaction-time", |field| field.within::<Time>("0.5 s", "5 s"));
    let tolerances = fields.optional("tolerances", |field| tolerances(&field));
    let near = fields.optional("near", |field| near_rule(&field));
    let risk = fields.optional("risk", |field| risk_cuts(&field));
    fields.finish();
    Ok(Limits {
        gradient: gradient?,
        side_tilt: side_tilt?,
        descent_speed: descent_speed?,
        brake_temperature: brake_temperature?,
        grip_in_hand: grip?.unwrap_or(Share::new(Limits::GRIP_IN_HAND)),
        reaction_time: reaction?.unwrap_or(Time::new(Limits::REACTION)),
        tolerances: tolerances?.unwrap_or_default(),
        near: near?.unwrap_or_default(),
        risk: risk?.unwrap_or_default(),
    })
}

/// On which ground near a limit may be driven.
fn near_rule(field: &Field) -> Read<NearRule> {
    let usual = NearRule::default();
    let mut fields = Fields::of(field, "`near`")?;
    let gradient = fields.optional("gradient", |field| field.within::<Angle>("1°", "30°"));
    let run_out = fields.optional("run-out", |field| field.within::<Length>("5 m", "500 m"));
    let speed = fields.optional("speed", |field| field.within::<Share>("0 %", "50 %"));
    let edge = fields.optional("edge", |field| field.within::<Length>("0 m", "100 m"));
    fields.finish();
    Ok(NearRule {
        gradient: gradient?.unwrap_or(usual.gradient),
        run_out: run_out?.unwrap_or(usual.run_out),
        speed: speed?.unwrap_or(usual.speed),
        edge: edge?.unwrap_or(usual.edge),
    })
}

/// Scores from which the risk assessment asks for more; each above the one before.
fn risk_cuts(field: &Field) -> Read<RiskCuts> {
    let mut fields = Fields::of(field, "`risk`")?;
    let mut score = |key, example| fields.required(key, example, |field| field.whole::<u8>(2, 25));
    let ask_first = score("ask-first", "ask-first: 5");
    let in_writing = score("in-writing", "in-writing: 10");
    let not_today = score("not-today", "not-today: 15");
    for (key, other, low, high) in [
        ("in-writing", "ask-first", ask_first, in_writing),
        ("not-today", "in-writing", in_writing, not_today),
    ] {
        if let (Ok(low), Ok(high)) = (low, high)
            && low >= high
        {
            let message = format!("`{key}` begins at {high}, not above `{other}`");
            fields.conflict(key, other, "the one below it", message, "write rising scores, like 5, 10, 15");
        }
    }
    fields.finish();
    Ok(RiskCuts { ask_first: ask_first?, in_writing: in_writing?, not_today: not_today? })
}

/// By how much what is written may be off.
fn tolerances(field: &Field) -> Read<Tolerances> {
    let usual = Tolerances::default();
    let mut fields = Fields::of(field, "`tolerances`")?;
    let mass = fields.optional("mass", |field| field.within::<Share>("2 %", "50 %"));
    let gradient = fields.optional("gradient", |field| field.within::<Angle>("0.1°", "5°"));
    let speed = fields.optional("speed", |field| field.within::<Share>("2 %", "50 %"));
    let drag = fields.optional("drag", |field| field.within::<Share>("5 %", "60 %"));
    let unmeasured = fields.optional("unmeasured", |field| field.within::<Ratio>("1", "5"));
    fields.finish();
    Ok(Tolerances {
        mass: mass?.unwrap_or(usual.mass),
        gradient: gradient?.unwrap_or(usual.gradient),
        speed: speed?.unwrap_or(usual.speed),
        drag: drag?.unwrap_or(usual.drag),
        unmeasured: unmeasured?.unwrap_or(usual.unmeasured),
    })
}
