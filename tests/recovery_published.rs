//! Recovery against the outside world: answers to `tests/published/recovery.csv`.

use slopepack::engine::formulas::{GRAVITY, recovery as r, slope};
use slopepack::recovery::facts::{self, Mark, OldGround, Pickets};

use crate::engine_published::{Answer, DEGREE, Inputs, KMH};

const LBF: f64 = 4.448_221_615_260_5;
const FOOT: f64 = 0.3048;

#[test]
fn the_recovery_table_holds() {
    crate::engine_published::check(include_str!("published/recovery.csv"), 179, answer);
}

fn answer(quantity: &str, row: &Inputs) -> Answer {
    units(quantity, row)
        .or_else(|| pulls(quantity, row))
        .or_else(|| tackle(quantity, row))
        .or_else(|| angles(quantity, row))
        .or_else(|| parts(quantity, row))
        .or_else(|| snatch(quantity, row))
        .or_else(|| anchors(quantity, row))
        .unwrap_or_else(|| panic!("nothing answers {quantity}"))
        .into()
}

fn units(quantity: &str, row: &Inputs) -> Option<f64> {
    use slopepack::quantity::{Force, Mass, parse};
    let force = |text: String| parse::<Force>(&text).unwrap().si();
    Some(match quantity {
        "force_n" => force(format!("{} lbf", row.text("lbf"))),
        "force_kn" => force(format!("{} lbf", row.text("lbf"))) / 1e3,
        "mass_lb_kg" => parse::<Mass>(&format!("{} lb", row.text("lb"))).unwrap().si(),
        // A label in tonnes is read as a force with standard gravity.
        "tonne_force" => row.num("kn") * 1e3 / force("1 tf".to_owned()),
        "rated_t" => force(format!("{} t", row.text("t"))) * row.num("share"),
        _ => return None,
    })
}

fn mark(row: &Inputs) -> Mark {
    match row.text("mark") {
        "hub" => Mark::Hub,
        "wing" => Mark::Wing,
        _ => Mark::Cab,
    }
}

fn pulls(quantity: &str, row: &Inputs) -> Option<f64> {
    let multiple =
        || if row.text("system") == "hub-twice" { mark(row).hub_twice() } else { mark(row).hub_once() };
    Some(match quantity {
        "mire_multiple" => multiple(),
        "mire_pull" => r::mire_pull(multiple(), row.num("weight")),
        "damage_pull" => r::damage_pull(row.num("weight")),
        "trade_fraction" => facts::TRADE_SOFT,
        "trade_pull" => r::ground_pull(facts::TRADE_HARD, row.num("weight")),
        "ground_pull" => r::ground_pull(row.num("fraction"), row.num("weight")),
        "old_fraction" if row.text("ground") == "bog" => OldGround::Bog.fraction(),
        "old_fraction" => OldGround::HardRoad.fraction(),
        "grade_rule" => r::grade_rule(row.num("weight"), row.num("deg")),
        "planned_pull" => r::planned_pull(row.num("sum")),
        "grade_percent_pull" => {
            r::grade_pull(row.num("weight"), slope::angle_from_percent(row.num("percent")))
        }
        "righting" => r::righting_pull(row.num("weight"), row.num("height"), row.num("arm")),
        "weight" => r::weight(row.num("mass"), GRAVITY),
        _ => return None,
    })
}

fn tackle(quantity: &str, row: &Inputs) -> Option<f64> {
    let loss = facts_loss();
    #[expect(clippy::cast_possible_truncation, reason = "a count")]
    let count = |key: &str| row.num(key) as i32;
    let layers = |each: &dyn Fn(f64) -> f64| (1..=count("layers")).map(|n| each(f64::from(n))).sum();
    Some(match quantity {
        "fall_line" => {
            r::fall_line(r::tackle_load(row.num("load"), loss, row.num("sheaves")), row.num("parts"))
        }
        "tackle_capacity" => {
            row.num("line") * row.num("parts") / r::tackle_load(1.0, loss, row.num("sheaves"))
        }
        "delivered" => {
            row.num("lbf") * LBF * row.num("parts") / r::tackle_load(1.0, loss, row.num("sheaves"))
        }
        "real_advantage" => r::real_advantage(row.num("e"), count("parts")),
        "line_of_advantage" => r::fall_line(row.num("load"), row.num("advantage")),
        "line_over" => row.num("share") * row.num("load") / row.num("left"),
        "layer_pull" => r::layer_pull(row.num("first"), row.num("barrel"), row.num("rope"), row.num("layer")),
        "layer_pull_n" => {
            r::layer_pull(row.num("lbf") * LBF, row.num("barrel"), row.num("rope"), row.num("layer"))
        }
        "drum_length" => {
            let turns = (row.num("width") / row.num("rope")).floor();
            layers(&|n| r::layer_length(turns, row.num("barrel"), row.num("rope"), n)) / 12.0
        }
        "drum_turns_length" => {
            layers(&|n| r::layer_length(row.num("turns"), row.num("barrel"), row.num("rope"), n))
        }
        "wraps_length" => r::layer_length(row.num("wraps"), row.num("barrel"), row.num("rope"), 1.0),
        "last_layer_loss" => 100.0 * facts::LAST_LAYER_LOSS,
        "fleet_limit" if row.text("drum") == "smooth" => facts::FLEET_SMOOTH,
        "fleet_limit" => facts::FLEET_GROOVED,
        "fleet" => r::fleet_distance(row.num("half"), row.num("deg") * DEGREE),
        "wraps" if row.text("rope") == "wire" => facts::WRAPS_STEEL,
        "wraps" => facts::WRAPS_SYNTHETIC,
        "case_block" => {
            let weight = r::weight(row.num("mass"), GRAVITY);
            let grade = r::grade_pull(weight, row.num("deg") * DEGREE);
            let whole = r::whole_pull(r::mire_pull(row.num("multiple"), weight), grade);
            let line = r::fall_line(r::tackle_load(whole, loss, row.num("sheaves")), row.num("parts"));
            r::block_load(line, 0.0)
        }
        _ => return None,
    })
}

fn facts_loss() -> f64 {
    r::SHEAVE_SHARE
}

fn angles(quantity: &str, row: &Inputs) -> Option<f64> {
    let half = || row.num("deg") / 2.0 * DEGREE;
    // A sling leg at an angle to the horizontal is half a bridle: the legs stand 180° − 2h apart.
    let leg = |share: f64, height: f64| r::bridle_leg(2.0 * share, (90.0 - height) * DEGREE);
    Some(match quantity {
        "block_load" => r::block_load(row.num("line"), half()),
        "bridle_leg" => r::bridle_leg(row.num("pull"), half()),
        "bridle_inward" => r::bridle_inward(row.num("pull"), half()),
        "sling_leg" => leg(row.num("share"), row.num("height_deg")),
        "sling_tension" => leg(row.num("share"), libm::asin(row.num("height") / row.num("length")) / DEGREE),
        "sling_reduced" => {
            row.num("rating") / leg(1.0, libm::asin(row.num("height") / row.num("length")) / DEGREE)
        }
        // Two legs of a basket share the load, so it carries twice the vertical hitch less the angle.
        "basket" => 2.0 * row.num("vertical") / leg(1.0, row.num("deg")),
        "widest_bridle" => facts::WIDEST_BRIDLE,
        "side_share" => 100.0 * facts::side_share(row.num("deg")),
        _ => return None,
    })
}

fn parts(quantity: &str, row: &Inputs) -> Option<f64> {
    Some(match quantity {
        "usual_factor" => facts::USUAL_FACTORS.iter().find(|known| known.id == row.text("kind"))?.factor,
        "chain_rule" => facts::chain_rule(row.num("inch")),
        "shackle_rule_lb" => 2000.0 * facts::shackle_rule(row.num("inch")),
        "shackle_rule_t" => facts::shackle_rule_metric(row.num("cm")),
        // EN 13414-1: F_min = K d² R_r, less the ferrule's share, over the factor.
        "wire_sling" => {
            let d = row.num("mm");
            r::working_load(0.356 * d * d * 1770.0 * 0.9, 5.0) / GRAVITY / 1e3
        }
        "strap_band" => facts::STRAP_BAND[0],
        "strap_over_shackle" => facts::STRAP_OVER_SHACKLE,
        "towing_eye" => r::towing_eye(row.num("mass"), row.num("g")),
        "wet_loss" => 100.0 * facts::WET_LOSS,
        "usual_stretch" => {
            let band = if row.text("kind") == "rope" { facts::ROPE_STRETCH } else { facts::STRAP_STRETCH };
            100.0 * band[usize::from(row.text("end") == "high")]
        }
        "clear" => r::clear_distance(row.num("line")),
        _ => return None,
    })
}

fn snatch(quantity: &str, row: &Inputs) -> Option<f64> {
    let breaking = || row.num("kgf") * GRAVITY;
    let stiffness = || r::strap_stiffness(breaking(), row.num("eps"), row.num("length"));
    let speed = || row.num("kmh") * KMH;
    let peak = || r::snatch_peak(speed(), stiffness(), row.num("mass"));
    Some(match quantity {
        "stiffness" => stiffness(),
        "snatch" => peak(),
        "energy" => r::snatch_energy(row.num("mass"), speed()),
        "stretch" => r::snatch_stretch(peak(), stiffness()),
        "snatch_driven" => r::snatch_driven(row.num("traction_g") * row.num("mass") * GRAVITY, peak()),
        // A vehicle that nothing holds back moves as soon as the strap is tight.
        "snatch_free" => {
            let free = r::snatch_breakout(speed(), stiffness(), row.num("mass"), row.num("stuck"), 0.0);
            let reduced =
                r::snatch_peak(speed(), stiffness(), r::reduced_mass(row.num("mass"), row.num("stuck")));
            assert!((free - reduced).abs() < 1e-6 * free);
            free
        }
        "snatch_over_weight" => {
            let k = r::strap_stiffness(row.num("n") * GRAVITY, row.num("eps"), row.num("length"));
            r::snatch_peak(speed(), k, 1.0) / GRAVITY
        }
        "slack_speed" => r::slack_speed(row.num("g_share") * GRAVITY, row.num("slack")) / KMH,
        "fragment" => r::fragment_speed(row.num("share"), row.num("energy"), row.num("mass")),
        "snatch_stiffening" => {
            // The scale is where the law reaches the strength at the stated stretch.
            let scale = breaking() / libm::pow(row.num("eps"), row.num("n"));
            let energy = r::snatch_energy(row.num("mass"), speed());
            r::snatch_stiffening(scale, row.num("length"), row.num("n"), energy)
        }
        _ => return None,
    })
}

fn anchors(quantity: &str, row: &Inputs) -> Option<f64> {
    let pickets = || match row.text("set") {
        "1" => Pickets::One,
        "1-1-1" => Pickets::OneOneOne,
        _ => Pickets::ThreeTwoOne,
    };
    let per_area = LBF / (FOOT * FOOT);
    let length = |force: f64| {
        r::buried_length(force, row.num("power") * per_area, row.num("face") * FOOT, facts::DEADMAN_TRENCH)
            / FOOT
    };
    Some(match quantity {
        "pickets_n" => pickets().holds(),
        "pickets_lbf" => pickets().holds() / LBF,
        "picket_lean" => facts::PICKET_LEAN,
        "steel_picket_kgf" => facts::STEEL_PICKET / GRAVITY,
        "deadman_lbf_ft2" => {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 4")]
            let one_in = row.num("one_in") as usize;
            facts::deadman(row.num("depth_ft") * FOOT, one_in)? / per_area
        }
        "deadman_wet" => facts::DEADMAN_WET,
        "deadman_ft" => length(row.num("lbf") * LBF),
        "deadman_n_ft" => length(row.num("n")),
        "log_slimmest" if row.text("kind") == "log" => facts::LOG_SLIMMEST,
        "log_slimmest" => facts::TIMBER_SLIMMEST,
        "braked_anchor" => r::braked_anchor(row.num("mass"), GRAVITY, row.num("mu"), row.num("deg") * DEGREE),
        _ => return None,
    })
}

#[test]
fn a_buried_log_is_not_reckoned_outside_the_table() {
    assert!(facts::deadman(2.9 * FOOT, 1).is_none() && facts::deadman(7.1 * FOOT, 1).is_none());
    assert!(facts::deadman(5.0 * FOOT, 5).is_none() && facts::deadman(5.0 * FOOT, 0).is_none());
    let between = facts::deadman(3.5 * FOOT, 1).unwrap() * FOOT * FOOT / LBF;
    assert!((between - 1350.0).abs() < 1e-6, "{between}");
}

/// A breaking-out snatch stepped through time gives the same peak as the closed form.
#[test]
fn the_peak_of_a_breakout_is_that_of_a_stepped_solution() {
    let stiffness = r::strap_stiffness(6000.0 * GRAVITY, 0.2, 9.0);
    for (speed, resistance) in [(2.8, 14_000.0), (2.8, 7_000.0), (1.6, 20_000.0), (4.0, 5_000.0)] {
        let (tug, stuck) = (2400.0, 2900.0);
        let closed = r::snatch_breakout(speed, stiffness, tug, stuck, resistance);
        let (mut x, mut v, mut y, mut u) = (0.0, speed, 0.0, 0.0);
        let step = 2e-6;
        let mut peak: f64 = 0.0;
        for _ in 0..700_000 {
            let force = f64::max(stiffness * (x - y), 0.0);
            peak = peak.max(force);
            v -= force / tug * step;
            x += v * step;
            if u > 0.0 || force > resistance {
                u = f64::max(u + (force - resistance) / stuck * step, 0.0);
                y += u * step;
            }
        }
        assert!((peak / closed - 1.0).abs() < 2e-4, "{peak} against {closed}");
    }
}
