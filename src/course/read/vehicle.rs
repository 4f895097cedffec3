//! Reading vehicles: what they weigh, where they stand, what they roll on.

mod underside;

use super::fill::Fill;
use super::{gearing, point, powertrain};
use crate::course::cursor::{Field, Fields, Read};
use crate::course::{Aid, Known, Name, RoofLoad, Tyre, Vehicle, VehicleClass, classes};
use crate::quantity::{Angle, Area, Length, Mass, Pressure};

const CLASSES: &[(&str, VehicleClass)] = &[
    ("short-wheelbase", VehicleClass::ShortWheelbase),
    ("wagon", VehicleClass::Wagon),
    ("pickup", VehicleClass::Pickup),
    ("van", VehicleClass::Van),
    ("truck", VehicleClass::Truck),
];

const AIDS: &[(&str, Aid)] = &[
    ("anti-lock", Aid::AntiLock),
    ("traction-control", Aid::TractionControl),
    ("hill-descent-control", Aid::HillDescentControl),
];

/// A vehicle; what it leaves out is filled in from its class and marked as estimated. Without a class it
/// gives mass and wheelbase, which tell the class.
pub(super) fn vehicle(item: &Field) -> Read<Vehicle> {
    let mut fields = Fields::of(item, "a vehicle")?;
    let id = fields.required("id", "id: wagon-1", Field::id);
    let name = fields.optional("name", Field::text);
    let class = fields.optional("class", |field| field.choice(CLASSES));
    let mass = fields.optional("mass", |field| field.within::<Mass>("400 kg", "40 t"));
    let wheelbase = fields.optional("wheelbase", |field| field.within::<Length>("1.2 m", "8 m"));
    let class = class_told(&mut fields, class, mass, wheelbase);
    let fuel = powertrain::fuel_told(&fields);
    let fill = Fill::of(usual_class(class), fuel);
    let mass = fill.or("mass", mass, fill.usual.mass);
    let wheelbase = fill.or("wheelbase", wheelbase, fill.usual.wheelbase);
    let usual = class.map(classes::values);
    let track = fields.optional("track", |field| field.within::<Length>("0.9 m", "2.8 m"));
    let centre = centre(&mut fields, mass, wheelbase);
    let roof_load = fields.optional("roof-load", |field| roof_load(&field, mass));
    let travel = fields.optional("wheel-travel", |field| field.within::<Length>("2 cm", "1 m"));
    let tyre = fields.optional("tyres", |field| tyre(&field));
    let tyre = fill.or("tyres", tyre, fill.usual.tyre());
    let pressure = fields.optional("pressure", |field| field.within::<Pressure>("3 psi", "150 psi"));
    let engine = powertrain::engine(&mut fields, class, fuel, &fill);
    let transmission = gearing::transmission(&mut fields, &fill);
    let brakes = fields.optional("brakes", |field| powertrain::brakes(&field, class));
    let drag_area = fields.optional("drag-area", |field| field.within::<Area>("0.2 m²", "12 m²"));
    let inertia = fields.optional("wheel-inertia-mass", |field| field.within::<Mass>("1 kg", "2 t"));
    let aids = fields.optional_list("aids", |field| field.list("an aid", |item| item.choice(AIDS)));
    let recovery_points = fields.optional_list("recovery-points", |field| {
        field.list("a recovery point", |item| point::recovery_point(&item))
    });
    let measured = tyre.as_ref().ok().filter(|tyre| !tyre.diameter.estimated).map(|tyre| *tyre.diameter);
    let underside = fields.optional("underside", |field| underside::underside(&field, wheelbase, measured));
    let side_limit = fields.optional("side-limit", |field| field.within::<Angle>("1°", "45°"));
    fields.finish();
    let (usual, (engine, engine_inertia)) = (usual?, engine?);
    let centre = centre?;
    let wheelbase = wheelbase?;
    let behind = Length::new(usual.centre_part * wheelbase.si());
    let id = id?;
    Ok(Vehicle {
        name: name?.unwrap_or_else(|| Name::from(id.replace('-', " "))),
        id,
        class: class?,
        mass: mass?,
        wheelbase,
        track: Known::or(track?, Length::new(usual.track)),
        centre_height: Known::or(centre.height, Length::new(usual.centre_height)),
        centre_behind_front: Known::or(centre.behind_front, behind),
        roof_load: roof_load?,
        wheel_travel: Known::or(travel?, classes::wheel_travel(usual_class(class))),
        tyre: tyre?,
        pressure: pressure?,
        transmission: transmission?,
        engine,
        brakes: brakes?.unwrap_or_else(|| classes::brakes(usual_class(class))),
        drag_area: Known::or(drag_area?, Area::new(usual.drag_area)),
        wheel_inertia_mass: Known::or(inertia?, Mass::new(usual.wheel_inertia_mass)),
        engine_inertia,
        aids: aids?,
        recovery_points: recovery_points?,
        underside: underside?,
        side_limit: side_limit?,
        guessed: fill.taken(),
    })
}

/// The class, as told or as mass and wheelbase tell it.
fn class_told(
    fields: &mut Fields,
    class: Read<Option<VehicleClass>>,
    mass: Read<Option<Mass>>,
    wheelbase: Read<Option<Length>>,
) -> Read<VehicleClass> {
    fields.one_of(&[&["class"], &["mass", "wheelbase"]]);
    if let Some(class) = class? {
        return Ok(class);
    }
    match (mass?, wheelbase?) {
        (Some(mass), Some(wheelbase)) => Ok(classes::class_of(mass, wheelbase)),
        (None, Some(_)) => Err(fields.lacking("mass", "mass: 2450 kg` or `class: wagon")),
        (Some(_), None) => Err(fields.lacking("wheelbase", "wheelbase: 2.79 m` or `class: wagon")),
        (None, None) => Err(fields.lacking("class", "class: wagon")),
    }
}

/// The class once it is known to be readable.
fn usual_class(class: Read<VehicleClass>) -> VehicleClass {
    class.unwrap_or(VehicleClass::Wagon)
}

/// Where the centre of mass lies, as far as the course says.
#[derive(Default)]
struct Centre {
    height: Option<Length>,
    behind_front: Option<Length>,
}

fn centre(fields: &mut Fields, mass: Read<Mass>, wheelbase: Read<Length>) -> Read<Centre> {
    let centre = fields.optional("centre", |field| {
        let mut fields = Fields::of(&field, "`centre`")?;
        let height = fields.optional("height", |field| field.within::<Length>("0.2 m", "3 m"));
        let behind_front = fields.optional("behind-front", |field| behind_front(&field, wheelbase));
        let weighed = fields.optional("front-axle", |field| from_front_axle(&field, mass, wheelbase));
        if matches!((&behind_front, &weighed), (Ok(Some(_)), Ok(Some(_)))) {
            let message = "`front-axle` and `behind-front` say the same thing twice".to_owned();
            fields.conflict("front-axle", "behind-front", "the other", message, "keep one of the two");
        }
        fields.finish();
        Ok(Centre { height: height?, behind_front: behind_front?.or(weighed?) })
    });
    Ok(centre?.unwrap_or_default())
}

fn behind_front(field: &Field, wheelbase: Read<Length>) -> Read<Length> {
    let behind: Length = field.within("0 m", "8 m")?;
    if behind.si() <= 0.0 || behind.si() >= wheelbase?.si() {
        return Err(field.problem(
            "the centre of mass lies outside the wheelbase",
            "measure from the front axle; it lies between the axles, about half-way",
        ));
    }
    Ok(behind)
}

/// The centre from the front axle's load on a weighbridge: a = L·(1 − m_f/m).
fn from_front_axle(field: &Field, mass: Read<Mass>, wheelbase: Read<Length>) -> Read<Length> {
    let front: Mass = field.within("100 kg", "20 t")?;
    let (mass, wheelbase) = (mass?, wheelbase?);
    if front >= mass {
        return Err(field.problem(
            "the front axle cannot carry more than the whole vehicle",
            "write what the weighbridge shows with only the front wheels on it, loaded as on the day",
        ));
    }
    Ok(Length::new(wheelbase.si() * (1.0 - front.si() / mass.si())))
}

fn roof_load(field: &Field, vehicle: Read<Mass>) -> Read<RoofLoad> {
    let mut fields = Fields::of(field, "a roof load")?;
    let mass = fields.required("mass", "mass: 60 kg", |field| {
        let load: Mass = field.within("0.5 kg", "2 t")?;
        if load.si() > 0.3 * vehicle?.si() {
            let help = "write the load on the roof alone; it counts as part of the vehicle's mass";
            return Err(field.problem("more than 30 % of the vehicle's mass on the roof", help));
        }
        Ok(load)
    });
    let height =
        fields.required("height", "height: 1.95 m", |field| field.within::<Length>("0.8 m", "4.5 m"));
    fields.finish();
    Ok(RoofLoad { mass: mass?, height: height? })
}

/// `tyres: 265/70R17`, or `{size: …, diameter: …, circumference: …}`.
fn tyre(field: &Field) -> Read<Tyre> {
    use crate::course::tree::Value;
    if !matches!(field.node.value, Value::Map(_)) {
        return marking(field);
    }
    let mut fields = Fields::of(field, "`tyres`")?;
    let tyre = fields.required("size", "size: 265/70R17", |field| marking(&field));
    let diameter = fields.optional("diameter", |field| field.within::<Length>("0.4 m", "2.2 m"));
    let around = fields.optional("circumference", |field| field.within::<Length>("1.2 m", "7 m"));
    let checked = tyre.and_then(|tyre| measured(&fields, tyre, diameter?, around?));
    fields.finish();
    checked
}

fn marking(field: &Field) -> Read<Tyre> {
    let word = field.word("265/70R17")?;
    Tyre::from_marking(word)
        .map_err(|error| field.problem(format!("`{}`: {}", field.name, error.message), error.help))
}

/// Measured values replace what the marking says, when they can belong to the same tyre.
fn measured(fields: &Fields, mut tyre: Tyre, diameter: Option<Length>, around: Option<Length>) -> Read<Tyre> {
    let named = tyre.diameter.si();
    if let Some(diameter) = diameter {
        if (diameter.si() / named - 1.0).abs() > 0.08 {
            let message = format!("a {} tyre measures about {named:.3} m across", tyre.marking);
            let help =
                "measure the overall diameter, tread to tread; it differs from the marking by a few per cent";
            return Err(fields.conflict("diameter", "size", "the marking", message, help));
        }
        tyre.diameter = Known::given(diameter);
    }
    if let Some(around) = around {
        let factor = around.si() / tyre.diameter.si();
        if !(2.85..=3.15).contains(&factor) {
            let message = format!("the circumference is {factor:.2} times the diameter, not about 3.05");
            let help =
                "measure how far the vehicle rolls in one turn of a wheel, driven straight on firm ground";
            return Err(fields.conflict("circumference", "size", "the marking", message, help));
        }
        tyre.measured_circumference = Some(around);
    }
    Ok(tyre)
}
