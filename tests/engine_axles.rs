//! What each axle is asked and what it can give, against statics and dynamics worked here.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::course::{Driven, Ground, Known, Lock, Vehicle};
use slopepack::engine::{Axle, AxleDemand, Body, Hold, Way, Wheels, reckon};
use slopepack::quantity::{Angle, Length, Mass, Share, Speed};

use crate::engine_courses::{DEGREE, KMH, course, differentials, slope, surface, vehicle};

/// The vehicle of the published braking rows: 2200 kg, wheelbase 2.70 m, centre 1.30 m behind the front
/// axle and 0.70 m high.
fn body() -> Body {
    Body {
        mass: 2200.0,
        wheels: 0.0,
        drag_area: 0.0,
        air: 0.0,
        gravity: 9.81,
        wheelbase: 2.70,
        to_front: 1.30,
        height: 0.70,
    }
}

/// Steepest slope held by gearing, degrees: friction; rear alone, front alone, open centre halved, open
/// centre 40 to 60, locked. Moments about the contact points, recomputed from the axle identity
/// q = F/(W cos θ), N_f = b/L + q h/L.
const HELD: [(f64, [f64; 5]); 5] = [
    (0.3, [7.63, 9.57, 14.04, 12.03, 16.70]),
    (0.4, [9.90, 13.03, 17.69, 15.31, 21.80]),
    (0.5, [12.03, 16.59, 20.92, 18.26, 26.57]),
    (0.6, [14.04, 20.22, 23.78, 20.92, 30.96]),
    (0.7, [15.92, 23.91, 26.32, 23.33, 34.99]),
];

#[test]
fn one_axle_an_open_centre_and_a_locked_one_hold_what_moments_say() {
    let shared = |front| Wheels::Between { low: front, high: front };
    let ways = [Wheels::Rear, Wheels::Front, shared(0.5), shared(0.4), Wheels::All];
    for (friction, degrees) in HELD {
        for (wheels, expected) in ways.into_iter().zip(degrees) {
            let held = libm::atan(wheels.whole(friction, &body())) / DEGREE;
            assert!((held - expected).abs() < 0.01, "{wheels:?} at {friction}: {held}, {expected}");
        }
    }
}

#[test]
fn brake_shares_lock_the_axle_the_published_rows_name() {
    // Front share, friction, demand at lock, axle: q_f = μ(b/L)/(φ − μh/L), q_r = μ(a/L)/((1 − φ) + μh/L).
    let rows = [
        (0.65, 0.3, 0.2718),
        (0.70, 0.4, 0.3478),
        (0.70, 0.5, 0.4545),
        (0.65, 0.6, 0.5714),
        (0.65, 0.8, 0.6910),
    ];
    for (front, friction, expected) in rows {
        let whole = Wheels::Between { low: front, high: front }.whole(friction, &body());
        assert!((whole - expected).abs() < 1e-4, "{front} {friction}: {whole}");
    }
    // Thirty parts of a hundred from an engine on the rear axle: 0.70 becomes 0.49, the rear is first.
    let mixed = Wheels::Between { low: 0.49, high: 0.70 };
    assert!((mixed.whole(0.4, &body()) - 0.3138).abs() < 1e-4);
}

#[test]
fn an_open_axle_on_a_tilt_keeps_twice_its_upper_wheel() {
    // Track 1.55 m, centre 0.70 m: 1 − tan r/(T/2h); cos r, the tilt's part of the weight, stands apart.
    let mut plain = vehicle("v");
    plain.centre_height = Known::given(Length::new(0.70));
    plain.transmission.differentials = differentials(Lock::Open);
    plain.transmission.differentials.centre = Lock::Locked;
    for (degrees, published) in [(5.0, 0.9175), (10.0, 0.8280), (20.0, 0.6308)] {
        let roll = degrees * DEGREE;
        let lighter = 0.5 * (1.0 - libm::tan(roll) / (1.55 / 1.40));
        let usable = Hold::geared(&plain, 0.0).rear.usable(lighter);
        assert!((usable * libm::cos(roll) - published).abs() < 1e-4, "{degrees}: {usable}");
    }
    let locked = Hold::geared(&vehicle("v"), 0.0);
    assert!((locked.rear.usable(0.1) - 1.0).abs() < 1e-12 && (locked.front.usable(0.0) - 1.0).abs() < 1e-12);
    // A lifted wheel: an open axle holds nothing.
    assert!(Hold::geared(&plain, 0.30).lifts && Hold::geared(&plain, 0.30).rear.usable(0.0).abs() < 1e-12);
}

/// Loads and demands by moments about both contact points, for a force the drive shares out.
fn by_moments(vehicle: &Vehicle, pitch: f64, force: f64) -> AxleDemand {
    let weight = vehicle.mass.si() * 9.80665;
    let (length, a) = (vehicle.wheelbase.si(), vehicle.centre_behind_front.si());
    let h = vehicle.centre_height.si();
    let normal = weight * libm::cos(pitch);
    // About the rear contact: N_f L = N (L − a) + F h; about the front: N_r L = N a − F h.
    let front_load = (normal * (length - a) + force * h) / length;
    let rear_load = (normal * a - force * h) / length;
    let front = match vehicle.transmission.driven {
        Driven::Front => 1.0,
        Driven::Rear | Driven::Unknown => 0.0,
        Driven::AllWheels if vehicle.transmission.differentials.centre == Lock::Locked => {
            front_load / (front_load + rear_load)
        }
        Driven::AllWheels => vehicle.transmission.differentials.front_share.si(),
    };
    AxleDemand {
        front_load,
        rear_load,
        front_demand: front * force,
        rear_demand: (1.0 - front) * force,
        front_grip: 0.0,
        rear_grip: 0.0,
    }
}

/// Rolling resistance of an off-road tyre on hard ground: 0.015 to 0.02, from memory.
const TYRE: f64 = 0.02;

#[test]
fn a_thousand_axle_demands_agree_with_statics_and_dynamics() {
    let drives = [
        (Driven::Front, Lock::Open),
        (Driven::Rear, Lock::Open),
        (Driven::AllWheels, Lock::Locked),
        (Driven::AllWheels, Lock::Open),
    ];
    let mut counted = 0;
    for n in 0..250_u32 {
        let part = |k: u32| f64::from((n * k) % 251) / 251.0;
        for (driven, centre) in drives {
            let mut one = vehicle("v");
            one.mass = Mass::new(1400.0 + 2600.0 * part(7));
            one.wheelbase = Length::new(2.2 + 1.2 * part(11));
            one.centre_behind_front =
                Known::given(Length::new(one.wheelbase.si() * (0.42 + 0.16 * part(13))));
            one.centre_height = Known::given(Length::new(0.55 + 0.35 * part(17)));
            one.transmission.driven = driven;
            one.transmission.differentials = differentials(centre);
            one.transmission.differentials.front_share = Known::given(Share::new(0.35 + 0.2 * part(19)));
            let degrees = 4.0 + 5.0 * part(23);
            let ground = surface("g", Ground::Firm, 0.9, 0.8, 0.03);
            let mut place = slope("s", "g", 40.0, degrees);
            place.entry_speed = Speed::new(KMH);
            let reckoning = reckon(&course(vec![ground], vec![place], vec![one.clone()]));
            let pair = &reckoning.pairs[0];
            let first = pair.gears().next().unwrap();
            // Static: held at a steady speed the force is the slope's pull less rolling and air.
            let run = &first.descent.unfavourable;
            let axles = run.axles;
            // What the tyres themselves lose goes through the contact as well, at each axle's load.
            let force = axles.front_demand + axles.rear_demand - TYRE * (axles.front_load + axles.rear_load);
            let pull =
                one.mass.si() * 9.80665 * (libm::sin(degrees * DEGREE) - 0.024 * libm::cos(degrees * DEGREE));
            assert!((force / pull - 1.0).abs() < 5e-3, "{force} {pull}");
            let mut expected = by_moments(&one, degrees * DEGREE, force);
            expected.front_demand += TYRE * expected.front_load;
            expected.rear_demand += TYRE * expected.rear_load;
            agrees(&axles, &expected);
            counted += 1;
        }
    }
    assert_eq!(counted, 1000);
}

fn agrees(is: &AxleDemand, expected: &AxleDemand) {
    let near = |a: f64, b: f64| (a - b).abs() <= 5e-3 * b.abs().max(1.0);
    assert!(
        near(is.front_load, expected.front_load) && near(is.rear_load, expected.rear_load),
        "{is:?} {expected:?}"
    );
    assert!(
        near(is.front_demand, expected.front_demand) && near(is.rear_demand, expected.rear_demand),
        "{is:?} {expected:?}"
    );
}

#[test]
fn crossing_the_brow_faster_than_creep_asks_of_the_axles_what_the_engine_takes() {
    // Dynamic: at 8 km/h in first low the engine, turned far above idle, slows vehicle and flywheel together.
    let mut one = vehicle("v");
    one.engine.drag = [(500.0, 60.0), (5000.0, 60.0)]
        .map(|(rpm, torque)| slopepack::course::DragPoint {
            speed: slopepack::quantity::SpinRate::new(rpm / 60.0),
            torque: slopepack::quantity::Torque::new(torque),
        })
        .to_vec();
    let ground = surface("g", Ground::Firm, 1.1, 1.0, 0.03);
    let mut place = slope("s", "g", 5.0, 6.0);
    place.entry_speed = Speed::new(8.0 * KMH);
    let reckoning = reckon(&course(vec![ground], vec![place], vec![one.clone()]));
    let run = reckoning.pairs[0].gears().next().unwrap().descent.dragged.unwrap();
    let (ratio, radius) = (4.0 * 2.7 * 4.1, 3.05 * 0.8028 / (2.0 * std::f64::consts::PI));
    let engine = 1.1 * 60.0 * ratio / (0.88 * radius);
    let turning = 40.0 + 0.25 * ratio * ratio / (radius * radius);
    let weight = 2400.0 * 9.80665;
    let pull = weight * (libm::sin(6.0 * DEGREE) - 0.024 * libm::cos(6.0 * DEGREE));
    // What turns slows by a rim's part of the vehicle's slowing; its slip is that of a brush of stiffness 10.
    let mut wanted = pull;
    for _ in 0..20 {
        let used = wanted / (weight * libm::cos(6.0 * DEGREE) * 0.88);
        let slip = 0.3 * 0.88 * (1.0 - libm::cbrt(1.0 - used));
        let share = 2400.0 / (2400.0 + turning * (1.0 - slip));
        wanted = share * engine + (1.0 - share) * pull;
    }
    let force =
        run.axles.front_demand + run.axles.rear_demand - TYRE * (run.axles.front_load + run.axles.rear_load);
    assert!((force / wanted - 1.0).abs() < 5e-3, "{force} {wanted}");
}

#[test]
fn the_rear_axle_of_a_two_wheel_drive_slides_first_and_it_is_said() {
    // The same vehicle on 16° of dry grass: driven through its rear axle alone it slides, tied it does not.
    let grass = slopepack::course::library_surface("grass-dry").unwrap();
    let mut rear = vehicle("v");
    rear.transmission.driven = Driven::Rear;
    let place = slope("s", "grass-dry", 30.0, 16.0);
    let reckoning = reckon(&course(vec![grass.clone()], vec![place.clone()], vec![rear]));
    let pair = &reckoning.pairs[0];
    let sliding = pair.judged.reasons.iter().find(|one| one.axle == Some(Axle::Rear)).unwrap();
    assert!(sliding.value > sliding.limit && (sliding.limit - 0.35).abs() < 1e-9, "{sliding:?}");
    assert!(!pair.way(Way::Geared).unwrap().verdict.within_limits);
    let tied = reckon(&course(vec![grass], vec![place], vec![vehicle("v")]));
    let told = tied.pairs[0].way(Way::Geared).unwrap();
    assert!(told.descent.unfavourable.grip_share().unwrap() < 1.0);
}

#[test]
fn a_tilted_open_axle_and_a_lifted_wheel_take_grip_away() {
    let ground = || surface("g", Ground::Firm, 0.9, 0.8, 0.03);
    let share = |lock: Lock, cross: f64, bump: f64| {
        let mut one = vehicle("v");
        one.transmission.differentials = differentials(lock);
        one.transmission.differentials.centre = Lock::Locked;
        let mut place = slope("s", "g", 30.0, 8.0);
        place.cross_slope = Angle::new(cross * DEGREE);
        place.bump = (bump > 0.0).then(|| Length::new(bump));
        let reckoning = reckon(&course(vec![ground()], vec![place], vec![one]));
        reckoning.pairs[0].gears().next().unwrap().descent.unfavourable.grip_share().unwrap()
    };
    assert!((share(Lock::Open, 0.0, 0.0) - share(Lock::Locked, 0.0, 0.0)).abs() < 1e-9);
    // Tied wheels would hold more, but an axle that is locked slides down a side slope as one: the lock is out there.
    assert!(share(Lock::Open, 10.0, 0.0) > 1.1 * share(Lock::Absent, 10.0, 0.0));
    assert!((share(Lock::Open, 10.0, 0.0) - share(Lock::Locked, 10.0, 0.0)).abs() < 1e-12);
    assert!(share(Lock::Open, 0.0, 0.10) > 1.01 * share(Lock::Locked, 0.0, 0.10));
    assert!((share(Lock::Unknown, 10.0, 0.0) - share(Lock::Open, 10.0, 0.0)).abs() < 1e-12);
    assert!(share(Lock::Limited, 10.0, 0.0) < share(Lock::Open, 10.0, 0.0));
    // A bump of 30 cm lifts a wheel of each axle in turn: with open axles the other axle alone holds.
    assert!(share(Lock::Open, 0.0, 0.30) > 1.5 * share(Lock::Open, 0.0, 0.10));
}
