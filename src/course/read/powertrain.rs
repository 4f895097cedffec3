//! Reading engine and brakes.

use super::fill::Fill;
use crate::course::cursor::{Field, Fields, Noted, Read};
use crate::course::tree::Value;
use crate::course::{
    Aspiration, AxleBrakes, BrakeKind, Brakes, DragPoint, Engine, Fuel, Known, VehicleClass, classes,
    fuel_said,
};
use crate::quantity::{
    Area, Displacement, HeatCapacity, Inertia, Length, Mass, ParseError, Share, SpinRate, Torque, parse,
};

const FUELS: &[(&str, Fuel)] =
    &[("petrol", Fuel::Petrol), ("diesel", Fuel::Diesel), ("gasoline", Fuel::Petrol)];

/// The fuel that a vehicle's `engine` names; else the one that its own words say; else petrol: its engine holds least.
pub(super) fn fuel_told(vehicle: &Fields) -> Fuel {
    written(vehicle).or_else(|| said(vehicle)).unwrap_or(Fuel::Petrol)
}

fn written(vehicle: &Fields) -> Option<Fuel> {
    let Value::Map(entries) = &vehicle.peek("engine")?.node.value else { return None };
    let told = entries.iter().find(|entry| entry.key == "fuel")?;
    let Value::Text(word) = &told.value.value else { return None };
    FUELS.iter().find(|(known, _)| known == word).map(|(_, fuel)| *fuel)
}

/// What name and identifier say.
fn said(vehicle: &Fields) -> Option<Fuel> {
    let of = |key: &str| match &vehicle.peek(key)?.node.value {
        Value::Text(words) => fuel_said(words),
        _ => None,
    };
    of("name").or_else(|| of("id"))
}

/// A vehicle's engine and the inertia of its turning parts, kg·m²; with the fuel that was told of it somewhere.
pub(super) fn engine(
    vehicle: &mut Fields,
    class: Read<VehicleClass>,
    told: Fuel,
    fill: &Fill,
) -> Read<(Engine, Known<Inertia>)> {
    let mut fields = vehicle.inner("engine", "an engine")?;
    let fuel = fields.optional("fuel", |field| field.choice(FUELS));
    let fuel = fill.or("fuel", fuel, told);
    let aspiration = fields.optional("aspiration", |field| {
        field.choice(&[("natural", Aspiration::Natural), ("turbo", Aspiration::Turbo)])
    });
    let displacement = fields.optional("displacement", |field| field.within::<Displacement>("0.3 L", "20 L"));
    let displacement = fill.or("displacement", displacement, fill.usual.displacement);
    let cylinders = fields.optional("cylinders", |field| field.whole::<u8>(1, 16));
    let stroke = fields.optional("stroke", |field| field.within::<Length>("30 mm", "250 mm"));
    let idle = fields.optional("idle", |field| idle(&field));
    let idle = fill.or("idle", idle, (fill.usual.idle, (fill.usual.idle, fill.usual.idle)));
    let highest = fields.optional("highest", |field| field.within::<SpinRate>("500 rpm", "10000 rpm"));
    let drag = fields.optional_list("overrun", |field| overrun(&field));
    let inertia = fields.optional("inertia", |field| field.within::<Inertia>("0.005 kg·m²", "20 kg·m²"));
    if let (Ok((_, (_, idle))), Ok(Some(highest))) = (idle, highest)
        && idle >= highest
    {
        let help = "`highest` is the most the engine may turn on a descent, well above idle";
        fields.conflict(
            "highest",
            "idle",
            "the idle speed",
            "the highest speed is not above idle".into(),
            help,
        );
    }
    fields.finish();
    let (class, fuel, displacement, (idle, idle_range)) = (class?, fuel?, displacement?, idle?);
    let cylinders = Known::or(cylinders?, classes::cylinders(fuel, displacement));
    let engine = Engine {
        earned: None,
        fuel,
        aspiration: aspiration?.unwrap_or(Aspiration::Natural),
        displacement,
        cylinders,
        stroke: Known::or(stroke?, classes::square_stroke(displacement, cylinders.value)),
        idle,
        idle_range,
        highest: Known::or(highest?, classes::highest(class, fuel, idle)),
        drag: drag?,
    };
    Ok((engine, Known::or(inertia?, classes::engine_inertia(class, displacement))))
}

/// One idle speed, or a range: `650–800 rpm`. The likely one is in the middle.
fn idle(field: &Field) -> Read<(SpinRate, (SpinRate, SpinRate))> {
    let word = field.word("750 rpm")?;
    let parted = word.split_once(['–', '-', '…']).or_else(|| word.split_once(" to "));
    let Some((low, high)) = parted else {
        let one = field.within::<SpinRate>("300 rpm", "1500 rpm")?;
        return Ok((one, (one, one)));
    };
    let why = |error: ParseError| field.problem(format!("`idle`: {}", error.message), error.help);
    let high: SpinRate = parse(high.trim()).map_err(why)?;
    // The unit may stand once, behind both.
    let low: SpinRate = parse(low.trim()).or_else(|_| parse(&format!("{} rpm", low.trim()))).map_err(why)?;
    let least: SpinRate = SpinRate::new(300.0 / 60.0);
    if low > high || low < least || high > SpinRate::new(1500.0 / 60.0) {
        return Err(field.problem(
            format!("`idle`: {word} is hardly possible"),
            "write the lower first, between 300 and 1500 rpm: 650–800 rpm",
        ));
    }
    Ok((SpinRate::new(f64::midpoint(low.si(), high.si())), (low, high)))
}

/// A measured overrun curve, engine speed rising.
fn overrun(field: &Field) -> Read<Vec<DragPoint>> {
    let items = field.items("a point of the overrun curve")?;
    let points: Vec<Read<DragPoint>> = items.iter().map(drag_point).collect();
    for (pair, item) in points.windows(2).zip(&items[1..]) {
        if let [Ok(before), Ok(after)] = pair
            && after.speed <= before.speed
        {
            item.problem(
                "the engine speed does not rise from point to point",
                "write the slowest first, each once",
            );
        }
    }
    let points: Vec<DragPoint> = points.into_iter().collect::<Read<_>>()?;
    if points.len() < 2 {
        return Err(field.problem("one point makes no curve", "measure at two engine speeds at least"));
    }
    Ok(points)
}

fn drag_point(item: &Field) -> Read<DragPoint> {
    let mut fields = Fields::of(item, "a point of the overrun curve")?;
    let speed =
        fields.required("at", "at: 1000 rpm", |field| field.within::<SpinRate>("300 rpm", "10000 rpm"));
    let torque =
        fields.required("torque", "torque: 45 N·m", |field| field.within::<Torque>("0.5 N·m", "2000 N·m"));
    fields.finish();
    Ok(DragPoint { speed: speed?, torque: torque? })
}

/// Foot brakes; an axle left out has its class's brakes, `none` has none.
pub(super) fn brakes(field: &Field, class: Read<VehicleClass>) -> Read<Brakes> {
    let mut fields = Fields::of(field, "`brakes`")?;
    let usual = class.map(classes::brakes);
    let front = axle(&mut fields, "front", usual.map(|usual| usual.front));
    let rear = axle(&mut fields, "rear", usual.map(|usual| usual.rear));
    let share = fields.optional("front-share", |field| field.within::<Share>("0 %", "100 %"));
    let heat_capacity = fields
        .optional("heat-capacity", |field| field.within::<HeatCapacity>("300 J/(kg·K)", "1200 J/(kg·K)"));
    if matches!((&front, &rear), (Ok(None), Ok(None))) {
        fields.problem("front", "a vehicle without brakes", "give `front` or `rear` brakes");
    }
    fields.finish();
    let (front, rear) = (front?, rear?);
    let usual_share = match (&front, &rear) {
        (Some(_), None) => Known::given(Share::new(1.0)),
        (None, _) => Known::given(Share::new(0.0)),
        _ => usual?.front_share,
    };
    Ok(Brakes {
        front,
        rear,
        front_share: share?.map_or(usual_share, Known::given),
        heat_capacity: Known::or(heat_capacity?, classes::heat_capacity()),
    })
}

fn axle(fields: &mut Fields, key: &'static str, usual: Read<Option<AxleBrakes>>) -> Read<Option<AxleBrakes>> {
    let Some(field) = fields.field(key) else { return usual };
    if field.is("none") {
        return Ok(None);
    }
    axle_brakes(&field, usual?.ok_or(Noted)?).map(Some)
}

fn axle_brakes(field: &Field, usual: AxleBrakes) -> Read<AxleBrakes> {
    let mut fields = Fields::of(field, "the brakes of an axle")?;
    let kind = fields
        .optional("kind", |field| field.choice(&[("disc", BrakeKind::Disc), ("drum", BrakeKind::Drum)]));
    let count = fields.optional("count", |field| field.whole::<u8>(1, 4));
    let mass = fields.optional("mass", |field| field.within::<Mass>("1 kg", "120 kg"));
    let diameter = fields.optional("diameter", |field| field.within::<Length>("120 mm", "700 mm"));
    let area = fields.optional("area", |field| field.within::<Area>("0.01 m²", "3 m²"));
    fields.finish();
    let kind = kind?.unwrap_or(usual.kind);
    let diameter = Known::or(diameter?, usual.diameter.value);
    Ok(AxleBrakes {
        kind,
        count: count?.unwrap_or(usual.count),
        mass: Known::or(mass?, usual.mass.value),
        diameter,
        area: Known::or(area?, classes::brake_area(kind, diameter.value)),
    })
}
