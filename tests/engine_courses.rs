//! Courses made up for the engine's tests.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use proptest::prelude::*;
use slopepack::course::*;
use slopepack::quantity::*;

pub(crate) const DEGREE: f64 = std::f64::consts::PI / 180.0;
pub(crate) const RPM: f64 = 1.0 / 60.0;
pub(crate) const KMH: f64 = 1.0 / 3.6;

fn brakes_of_an_axle(mass: f64) -> AxleBrakes {
    AxleBrakes {
        kind: BrakeKind::Disc,
        count: 2,
        mass: Known::given(Mass::new(mass)),
        diameter: Known::given(Length::new(0.32)),
        area: Known::given(Area::new(0.02 * mass)),
    }
}

/// Every differential like this, an even centre.
pub(crate) fn differentials(lock: Lock) -> Differentials {
    Differentials { centre: lock, front: lock, rear: lock, front_share: Known::given(Share::new(0.5)) }
}

/// A plain four-wheel drive: petrol, 3.0 L, five gears, low range.
pub(crate) fn vehicle(id: &str) -> Vehicle {
    Vehicle {
        id: id.to_owned(),
        name: format!("invented {id}").into(),
        class: VehicleClass::Wagon,
        mass: Mass::new(2400.0),
        wheelbase: Length::new(2.7),
        track: Known::given(Length::new(1.55)),
        centre_height: Known::given(Length::new(0.7)),
        centre_behind_front: Known::given(Length::new(1.3)),
        roof_load: None,
        wheel_travel: Known::given(Length::new(0.25)),
        tyre: Tyre {
            marking: "265/70R17".to_owned(),
            build: TyreBuild::Radial,
            diameter: Known::given(Length::new(0.8028)),
            measured_circumference: None,
        },
        pressure: None,
        transmission: Transmission {
            gearbox: Gearbox::Manual,
            ratios: [4.0, 2.2, 1.4, 1.0, 0.8].map(Ratio::new).to_vec(),
            reverse: Some(Ratio::new(3.8)),
            transfer_high: Ratio::new(1.0),
            transfer_low: Some(Ratio::new(2.7)),
            axle: Ratio::new(4.1),
            hub: Ratio::new(1.0),
            efficiency: Known::given(Share::new(0.88)),
            driven: Driven::AllWheels,
            differentials: differentials(Lock::Locked),
            lock_up_from: None,
        },
        engine: Engine {
            fuel: Fuel::Petrol,
            aspiration: Aspiration::Natural,
            displacement: Displacement::new(3.0e-3),
            cylinders: Known::given(6),
            stroke: Known::given(Length::new(0.086)),
            idle: SpinRate::new(750.0 * RPM),
            idle_range: (SpinRate::new(750.0 * RPM), SpinRate::new(750.0 * RPM)),
            highest: Known::given(SpinRate::new(4500.0 * RPM)),
            drag: Vec::new(),
            earned: None,
        },
        brakes: Brakes {
            front: Some(brakes_of_an_axle(9.0)),
            rear: Some(brakes_of_an_axle(5.5)),
            front_share: Known::given(Share::new(0.7)),
            heat_capacity: Known::given(HeatCapacity::new(490.0)),
        },
        drag_area: Known::given(Area::new(1.2)),
        wheel_inertia_mass: Known::given(Mass::new(40.0)),
        engine_inertia: Known::given(Inertia::new(0.25)),
        recovery_points: Vec::new(),
        underside: None,
        side_limit: None,
        aids: Vec::new(),
        guessed: Vec::new(),
    }
}

/// Firm ground with these likely values and a fifth either way.
pub(crate) fn surface(id: &str, ground: Ground, peak: f64, sliding: f64, rolling: f64) -> Surface {
    let around = |value: f64| Band::new(0.8 * value, value, 1.2 * value);
    Surface {
        id: id.to_owned(),
        name: id.into(),
        ground,
        soil: Soil::Dry,
        peak: around(peak),
        sliding: around(sliding),
        rolling: around(rolling),
        source: "invented for a test".into(),
        estimated: true,
    }
}

/// A way out straight down, so long and with a level run-out of 12 m.
pub(crate) fn escape(length: f64, degrees: Option<f64>) -> Escape {
    Escape {
        length: Length::new(length),
        gradient: degrees.map(|degrees| Angle::new(degrees * DEGREE)),
        run_out: RunOut {
            length: Length::new(12.0),
            gradient: Angle::new(0.0),
            surface: None,
            ends_at: None,
        },
    }
}

/// A slope of one stretch straight down, with a level run-out of 30 m.
pub(crate) fn slope(id: &str, surface: &str, length: f64, degrees: f64) -> Slope {
    Slope {
        id: id.to_owned(),
        name: id.into(),
        purpose: "a test".into(),
        surface: surface.to_owned(),
        wet_surface: None,
        dry_surface: None,
        stretches: vec![stretch(length, degrees)],
        cross_slope: Angle::new(0.0),
        heading: Angle::new(0.0),
        width: None,
        run_out: Some(RunOut {
            length: Length::new(30.0),
            gradient: Angle::new(0.0),
            surface: None,
            ends_at: None,
        }),
        escape: None,
        entry_speed: Speed::new(3.0 * KMH),
        brow: Brow::default(),
        foot_rounded: None,
        bump: None,
        hazards: Vec::new(),
        rules: Vec::new(),
        spotter: None,
        instructor_beside: false,
        channel: None,
        assessor: None,
        survey: None,
        photographs: Vec::new(),
    }
}

pub(crate) fn stretch(length: f64, degrees: f64) -> Stretch {
    Stretch { length: Length::new(length), gradient: Angle::new(degrees * DEGREE) }
}

/// A rule that leaves every run near a limit to the foot over the brake, wherever a locked wheel stops on the slope.
pub(crate) fn lenient() -> NearRule {
    NearRule {
        gradient: Angle::new(1.0),
        run_out: Length::new(1.0),
        speed: Share::new(10.0),
        edge: Length::new(0.0),
    }
}

/// A course of these slopes and vehicles.
pub(crate) fn course(surfaces: Vec<Surface>, slopes: Vec<Slope>, vehicles: Vec<Vehicle>) -> Course {
    Course {
        title: "test".into(),
        club: "test".into(),
        site: "test".into(),
        version: "1".into(),
        prepared_by: None,
        outcomes: Vec::new(),
        entry_requirements: Vec::new(),
        units: UnitSystem::Metric,
        paper: Paper::A4,
        accent: None,
        logo: None,
        seed: 1,
        limits: Limits {
            gradient: Angle::new(30.0 * DEGREE),
            side_tilt: Angle::new(15.0 * DEGREE),
            descent_speed: Speed::new(10.0 * KMH),
            brake_temperature: Temperature::new(473.15),
            grip_in_hand: Share::new(0.2),
            reaction_time: Time::new(1.5),
            tolerances: Tolerances::default(),
            near: NearRule::default(),
            risk: RiskCuts::default(),
        },
        surfaces,
        slopes,
        skid_pad: None,
        site_plan: None,
        vehicles,
        kit: Vec::new(),
        recovery: slopepack::course::RecoveryRules::default(),
        people: Vec::new(),
        days: Vec::new(),
        today: None,
        day: Day {
            date: None,
            start: None,
            end: None,
            sessions: Vec::new(),
            air: Temperature::new(293.15),
            air_estimated: false,
            runs: 8,
            run_gap: Time::new(180.0),
            turn_round: None,
            rolling_between_runs: true,
            channel: None,
            site_speed: None,
        },
        emergency: Emergency::default(),
        roster: slopepack::course::Roster::default(),
        rota: None,
        papers: slopepack::course::Blueprint::default(),
        runs: Runs::default(),
        earned: Earned::default(),
        long_texts: Vec::new(),
    }
}

prop_compose! {
    /// Any surface a course may have.
    pub fn any_surface()(
        loose in any::<bool>(),
        peak in 0.08..1.0f64,
        ratio in 0.6..1.3f64,
        rolling in 0.008..0.2f64,
        spread in 0.5..1.0f64,
    ) -> Surface {
        let sliding = peak * if loose { ratio } else { ratio.min(1.0) };
        let around = |v: f64| Band::new(spread * v, v, v * (2.0 - spread));
        Surface {
            peak: around(peak),
            sliding: around(sliding),
            rolling: around(rolling),
            ..surface("ground", if loose { Ground::Loose } else { Ground::Firm }, 0.5, 0.5, 0.05)
        }
    }
}

prop_compose! {
    /// Any slope on the one surface.
    pub fn any_slope()(
        stretches in prop::collection::vec((4.0..60.0f64, -4.0..38.0f64), 1..4),
        entry in 0.0..20.0f64,
        heading in prop_oneof![Just(0.0), 0.0..70.0f64],
        cross in prop_oneof![Just(0.0), 0.0..15.0f64],
        run_out in prop::option::of((3.0..60.0f64, -12.0..8.0f64)),
        bump in prop::option::of(0.01..0.4f64),
    ) -> Slope {
        Slope {
            stretches: stretches.into_iter().map(|(length, degrees)| stretch(length, degrees)).collect(),
            entry_speed: Speed::new(entry * KMH),
            heading: Angle::new(heading * DEGREE),
            cross_slope: Angle::new(cross * DEGREE),
            run_out: run_out.map(|(length, degrees)| RunOut {
                length: Length::new(length),
                gradient: Angle::new(degrees * DEGREE),
                surface: None,
                ends_at: None,
            }),
            bump: bump.map(Length::new),
            escape: Some(escape(12.0, None)),
            ..slope("slope", "ground", 1.0, 1.0)
        }
    }
}

fn any_lock() -> impl Strategy<Value = Lock> {
    prop_oneof![3 => Just(Lock::Locked), 1 => Just(Lock::Open), 1 => Just(Lock::Limited), 1 => Just(Lock::Unknown)]
}

prop_compose! {
    fn any_transmission()(
        gearbox in prop_oneof![
            3 => Just(Gearbox::Manual),
            1 => Just(Gearbox::AutomaticLocked),
            1 => Just(Gearbox::AutomaticUnlocked),
        ],
        first in 2.4..7.0f64,
        step in 1.3..1.9f64,
        gears in 3..7u8,
        low in prop::option::of(1.8..4.5f64),
        axle in 3.0..7.0f64,
        hub in prop_oneof![Just(1.0), 1.5..2.2f64],
        efficiency in 0.8..1.0f64,
        driven in prop_oneof![
            6 => Just(Driven::AllWheels), 2 => Just(Driven::Rear), 2 => Just(Driven::Front), 1 => Just(Driven::Unknown),
        ],
        centre in any_lock(),
        front in any_lock(),
        rear in any_lock(),
        front_share in 0.3..0.6f64,
    ) -> Transmission {
        let ratios = (0..gears).map(|n| Ratio::new(first / step.powi(i32::from(n)))).collect();
        Transmission {
            gearbox,
            ratios,
            transfer_low: low.map(Ratio::new),
            axle: Ratio::new(axle),
            hub: Ratio::new(hub),
            efficiency: Known::given(Share::new(efficiency)),
            driven,
            differentials: Differentials { centre, front, rear, front_share: Known::given(Share::new(front_share)) },
            lock_up_from: None,
            ..vehicle("any").transmission
        }
    }
}

prop_compose! {
    fn any_engine()(
        diesel in any::<bool>(),
        turbo in any::<bool>(),
        litres in 0.6..7.0f64,
        cylinders in 2..9u8,
        stroke in 0.06..0.13f64,
        idle in 550.0..1000.0f64,
        highest in 2800.0..6000.0f64,
        measured in prop::option::weighted(0.2, (10.0..60.0f64, 1.0..60.0f64)),
    ) -> Engine {
        let point = |rpm: f64, torque| DragPoint { speed: SpinRate::new(rpm * RPM), torque: Torque::new(torque) };
        let drag = measured.map_or(Vec::new(), |(low, rise)| {
            vec![point(800.0, low), point(2000.0, low + rise), point(4000.0, low + 2.5 * rise)]
        });
        Engine {
            fuel: if diesel { Fuel::Diesel } else { Fuel::Petrol },
            aspiration: if turbo { Aspiration::Turbo } else { Aspiration::Natural },
            displacement: Displacement::new(litres * 1e-3),
            cylinders: Known::given(cylinders),
            stroke: Known::given(Length::new(stroke)),
            idle: SpinRate::new(idle * RPM),
            idle_range: (SpinRate::new(0.95 * idle * RPM), SpinRate::new(1.05 * idle * RPM)),
            highest: Known::given(SpinRate::new(highest * RPM)),
            drag,
            earned: None,
        }
    }
}

prop_compose! {
    /// Any vehicle a course may have.
    pub fn any_vehicle()(
        mass in 900.0..7500.0f64,
        wheelbase in 2.0..4.0f64,
        behind in 0.35..0.65f64,
        height in 0.5..1.1f64,
        diameter in 0.65..1.1f64,
        transmission in any_transmission(),
        engine in any_engine(),
        front in prop::bool::weighted(0.9),
        rear in prop::bool::weighted(0.9),
        inertia in 0.05..1.2f64,
    ) -> Vehicle {
        let plain = vehicle("vehicle");
        let (front, rear) = if front || rear { (front, rear) } else { (true, true) };
        Vehicle {
            mass: Mass::new(mass),
            wheelbase: Length::new(wheelbase),
            centre_behind_front: Known::given(Length::new(wheelbase * behind)),
            centre_height: Known::given(Length::new(height)),
            tyre: Tyre { diameter: Known::given(Length::new(diameter)), ..plain.tyre },
            transmission,
            engine,
            brakes: Brakes {
                front: plain.brakes.front.filter(|_| front),
                rear: plain.brakes.rear.filter(|_| rear),
                ..plain.brakes
            },
            engine_inertia: Known::given(Inertia::new(inertia)),
            ..vehicle("vehicle")
        }
    }
}

/// A place that no gear holds.
pub(crate) fn steep() -> (Surface, Slope, Vehicle) {
    (surface("earth", Ground::Firm, 0.75, 0.65, 0.05), slope("s", "earth", 30.0, 28.0), vehicle("v"))
}
