//! The same pair written in metric and in imperial units is judged alike.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use std::fmt::Write;

use proptest::prelude::*;
use slopepack::course::{
    Aspiration, Band, Course, Driven, Fuel, Gearbox, Ground, Lock, Slope, Surface, Vehicle, read_text,
};
use slopepack::engine::{Deciding, Judgement, reckon};
use slopepack::quantity::UnitSystem;

use crate::engine_corners::{PAIRS, any_place, runner};

/// A quantity as somebody writes it who thinks in one system, with every digit it has.
#[derive(Clone, Copy)]
struct Hand(UnitSystem);

impl Hand {
    fn one(self, si: f64, metric: (&str, f64), imperial: (&str, f64)) -> String {
        let (unit, size) = if self.0 == UnitSystem::Metric { metric } else { imperial };
        format!("{} {unit}", si / size)
    }

    fn length(self, si: f64) -> String {
        self.one(si, ("m", 1.0), ("ft", 0.3048))
    }

    fn small(self, si: f64) -> String {
        self.one(si, ("mm", 1e-3), ("in", 0.0254))
    }

    fn mass(self, si: f64) -> String {
        self.one(si, ("kg", 1.0), ("lb", 0.453_592_37))
    }

    fn speed(self, si: f64) -> String {
        self.one(si, ("km/h", 1.0 / 3.6), ("mph", 0.447_04))
    }

    fn volume(self, si: f64) -> String {
        self.one(si, ("L", 1e-3), ("ci", 1.638_706_4e-5))
    }

    fn torque(self, si: f64) -> String {
        self.one(si, ("N·m", 1.0), ("lb·ft", 1.355_817_948_331_4))
    }

    fn area(self, si: f64) -> String {
        self.one(si, ("m²", 1.0), ("ft²", 0.092_903_04))
    }

    fn heat(self, kelvin: f64) -> String {
        if self.0 == UnitSystem::Metric {
            format!("{} °C", kelvin - 273.15)
        } else {
            format!("{} °F", 1.8 * (kelvin - 273.15) + 32.0)
        }
    }
}

fn degrees(si: f64) -> String {
    format!("{}°", si.to_degrees())
}

fn rpm(spin: f64) -> String {
    format!("{} rpm", 60.0 * spin)
}

fn band(band: Band) -> String {
    format!("{{low: {}, likely: {}, high: {}}}", band.low, band.likely, band.high)
}

fn lock(lock: Lock) -> &'static str {
    match lock {
        Lock::Open => "open",
        Lock::Limited => "limited",
        Lock::Locked => "locked",
        Lock::Absent => "none",
        Lock::Unknown => "unknown",
    }
}

fn engine(out: &mut String, hand: Hand, vehicle: &Vehicle) {
    let engine = &vehicle.engine;
    let fuel = if engine.fuel == Fuel::Diesel { "diesel" } else { "petrol" };
    let air = if engine.aspiration == Aspiration::Turbo { "turbo" } else { "natural" };
    let _ = writeln!(out, "    engine:\n      fuel: {fuel}\n      aspiration: {air}");
    let _ = writeln!(out, "      displacement: {}", hand.volume(engine.displacement.si()));
    let _ = writeln!(
        out,
        "      cylinders: {}\n      stroke: {}",
        *engine.cylinders,
        hand.small(engine.stroke.si())
    );
    let (low, high) = engine.idle_range;
    let _ = writeln!(out, "      idle: {}–{} rpm", 60.0 * low.si(), 60.0 * high.si());
    let _ = writeln!(out, "      highest: {}", rpm(engine.highest.si()));
    let _ = writeln!(out, "      inertia: {} kg·m²", vehicle.engine_inertia.si());
    if !engine.drag.is_empty() {
        out.push_str("      overrun:\n");
    }
    for point in &engine.drag {
        let (at, torque) = (rpm(point.speed.si()), hand.torque(point.torque.si()));
        let _ = writeln!(out, "        - {{at: {at}, torque: {torque}}}");
    }
}

fn gearing(out: &mut String, vehicle: &Vehicle) {
    let transmission = &vehicle.transmission;
    let kind = match transmission.gearbox {
        Gearbox::Manual => "manual",
        Gearbox::AutomaticLocked => "automatic-locked",
        Gearbox::AutomaticUnlocked => "automatic-unlocked",
    };
    let ratios: Vec<String> = transmission.ratios.iter().map(|ratio| ratio.si().to_string()).collect();
    let _ = writeln!(out, "    gearbox: {{kind: {kind}, ratios: [{}]}}", ratios.join(", "));
    let low = transmission.transfer_low.map(|low| format!(", low: {}", low.si())).unwrap_or_default();
    let _ = writeln!(out, "    transfer: {{high: {}{low}}}", transmission.transfer_high.si());
    let _ = writeln!(out, "    axle: {}\n    hub: {}", transmission.axle.si(), transmission.hub.si());
    let _ = writeln!(out, "    efficiency: {} %", 100.0 * transmission.efficiency.si());
    let drive = match transmission.driven {
        Driven::AllWheels => "all wheels",
        Driven::Rear => "rear",
        Driven::Front => "front",
        Driven::Unknown => "unknown",
    };
    let _ = writeln!(out, "    drive: {drive}");
    let all = transmission.differentials;
    let [centre, front, rear] = [all.centre, all.front, all.rear].map(lock);
    let share = 100.0 * all.front_share.si();
    let _ = writeln!(
        out,
        "    differentials: {{centre: {centre}, front: {front}, rear: {rear}, front-share: {share} %}}"
    );
}

fn vehicle(out: &mut String, hand: Hand, vehicle: &Vehicle, inches: u8) {
    let _ = writeln!(out, "  - id: vehicle\n    name: invented\n    class: wagon");
    let _ = writeln!(
        out,
        "    mass: {}\n    wheelbase: {}",
        hand.mass(vehicle.mass.si()),
        hand.length(vehicle.wheelbase.si())
    );
    let _ = writeln!(out, "    track: {}", hand.length(vehicle.track.si()));
    let (height, behind) = (vehicle.centre_height.si(), vehicle.centre_behind_front.si());
    let _ = writeln!(
        out,
        "    centre: {{height: {}, behind-front: {}}}",
        hand.small(height),
        hand.length(behind)
    );
    let _ = writeln!(out, "    tyres: {inches}x10.50R16");
    engine(out, hand, vehicle);
    gearing(out, vehicle);
    let _ = writeln!(out, "    wheel-travel: {}", hand.small(vehicle.wheel_travel.si()));
    let _ = writeln!(out, "    drag-area: {}", hand.area(vehicle.drag_area.si()));
    let _ =
        writeln!(out, "    wheel-inertia-mass: {}\n    brakes:", hand.mass(vehicle.wheel_inertia_mass.si()));
    for (name, axle) in [("front", vehicle.brakes.front), ("rear", vehicle.brakes.rear)] {
        let fitted = axle.map_or("none".to_owned(), |axle| {
            let (mass, across) = (hand.mass(axle.mass.si()), hand.small(axle.diameter.si()));
            format!("{{kind: disc, mass: {mass}, diameter: {across}, area: {}}}", hand.area(axle.area.si()))
        });
        let _ = writeln!(out, "      {name}: {fitted}");
    }
    let _ = writeln!(out, "      front-share: {} %", 100.0 * vehicle.brakes.front_share.si());
}

fn slope(out: &mut String, hand: Hand, slope: &Slope) {
    let _ = writeln!(
        out,
        "slopes:\n  - id: slope\n    name: slope\n    purpose: a test\n    surface: ground\n    stretches:"
    );
    for stretch in &slope.stretches {
        let (length, gradient) = (hand.length(stretch.length.si()), degrees(stretch.gradient.si().max(0.0)));
        let _ = writeln!(out, "      - {{length: {length}, gradient: {gradient}}}");
    }
    let _ = writeln!(
        out,
        "    heading: {}\n    cross-slope: {}",
        degrees(slope.heading.si()),
        degrees(slope.cross_slope.si())
    );
    let _ = writeln!(out, "    entry-speed: {}", hand.speed(slope.entry_speed.si()));
    if let Some(bump) = slope.bump {
        let _ = writeln!(out, "    bump: {}", hand.small(bump.si()));
    }
    if let Some(run_out) = &slope.run_out {
        let (length, gradient) = (hand.length(run_out.length.si()), degrees(run_out.gradient.si()));
        let _ = writeln!(out, "    run-out: {{length: {length}, gradient: {gradient}}}");
    }
}

/// The course as a file.
fn written(system: UnitSystem, (surface, ground, one): &(Surface, Slope, Vehicle), inches: u8) -> String {
    let hand = Hand(system);
    let units = if system == UnitSystem::Metric { "metric" } else { "imperial" };
    let mut out = format!("course:\n  title: test\n  club: test\n  site: test\n  units: {units}\n");
    let _ = writeln!(out, "limits:\n  gradient: 30°\n  side-tilt: 15°");
    let _ = writeln!(
        out,
        "  descent-speed: {}\n  brake-temperature: {}",
        hand.speed(10.0 / 3.6),
        hand.heat(473.15)
    );
    let kind = if surface.ground == Ground::Loose { "loose" } else { "firm" };
    let _ = writeln!(out, "surfaces:\n  ground:\n    ground: {kind}");
    for (name, of) in [("peak", surface.peak), ("sliding", surface.sliding), ("rolling", surface.rolling)] {
        let _ = writeln!(out, "    {name}: {}", band(of));
    }
    out.push_str("day: {runs: 8, run-gap: 3 min}\n");
    slope(&mut out, hand, ground);
    out.push_str("vehicles:\n");
    vehicle(&mut out, hand, one, inches);
    out
}

fn read(text: &str) -> Course {
    read_text(text).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"))
}

/// Mark, gears and what decides; of axles tied together either may stand first.
fn said(judged: &Judgement) -> String {
    let gears = [judged.gear, judged.lowest, judged.recommended, judged.too_high]
        .map(|gear| gear.map(|gear| gear.to_string()));
    let one = |one: &Deciding| {
        let what = format!("{:?}", one.what).replace("Front", "").replace("Rear", "");
        format!("{what} {} {:?}", one.decides, one.tolerance)
    };
    let mut reasons: Vec<_> = judged.reasons.iter().map(one).collect();
    reasons.sort_unstable();
    reasons.dedup();
    format!("{:?} {gears:?} {reasons:?} {:?} {:?}", judged.mark, judged.measure, judged.lock)
}

#[test]
fn metric_and_imperial_courses_are_judged_alike() {
    let place = any_place().prop_filter("figures as a course may have them", |(surface, _, vehicle)| {
        let slick = surface.peak.low.min(surface.sliding.low);
        let lowest = vehicle.transmission.ratios.last().map_or(0.0, |ratio| ratio.si());
        slick > 0.021 && surface.sliding.high < 1.49 && surface.rolling.low > 0.0031 && lowest > 0.31
    });
    runner(PAIRS)
        .run(&(place, 26..40_u8), |(place, inches)| {
            let metric = read(&written(UnitSystem::Metric, &place, inches));
            let imperial = read(&written(UnitSystem::Imperial, &place, inches));
            prop_assert_eq!(imperial.units, UnitSystem::Imperial);
            let (metric, imperial) = (reckon(&metric), reckon(&imperial));
            let (a, b) = (&metric.pairs[0].judged, &imperial.pairs[0].judged);
            prop_assert_eq!(said(a), said(b));
            for a in &a.reasons {
                let same = |b: &&Deciding| {
                    (a.what, a.way, a.tolerance, a.corner) == (b.what, b.way, b.tolerance, b.corner)
                };
                let Some(b) = b.reasons.iter().find(same) else { continue };
                prop_assert!(
                    (a.value - b.value).abs() <= 1e-4 * b.value.abs().max(1e-3) || a.value.is_infinite(),
                    "{:?} {:?}",
                    a,
                    b
                );
            }
            Ok(())
        })
        .unwrap();
}
