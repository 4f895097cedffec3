//! Answers to the grip and stability table.

#![allow(clippy::unwrap_used, reason = "a missing value fails the test where it stands")]

use slopepack::engine::formulas::{grip, slope, stability};
use slopepack::engine::{Body, ROAD_SETS, RoadSet, axle_loads, steer};

use crate::engine_published::{Answer, DEGREE, Inputs, KMH, MPH};

pub(crate) fn answer(quantity: &str, row: &Inputs) -> Answer {
    if quantity == "locked_stop" {
        return locked_stop(row);
    }
    angles(quantity, row)
        .or_else(|| stops(quantity, row))
        .or_else(|| curves(quantity, row))
        .or_else(|| steering(quantity, row))
        .or_else(|| standing(quantity, row))
        .unwrap_or_else(|| panic!("nothing here answers {quantity}"))
        .into()
}

fn angles(quantity: &str, row: &Inputs) -> Option<f64> {
    let theta = || row.num("theta_deg") * DEGREE;
    let beta = || row.num("beta_deg") * DEGREE;
    Some(match quantity {
        "slope_deg_from_percent" => slope::angle_from_percent(row.num("grade_pct")) / DEGREE,
        "slope_percent_from_deg" => slope::percent_from_angle(theta()),
        "slope_deg_from_1_in_n" => slope::angle_from_one_in(row.num("n")) / DEGREE,
        "slope_tangent" => slope::percent_from_angle(theta()) / 100.0,
        "percent_of_slope" => {
            let n = row.num("horizontal_m") / row.num("vertical_m");
            slope::percent_from_angle(slope::angle_from_one_in(n))
        }
        "roll_deg" => slope::roll(theta(), beta()) / DEGREE,
        "pitch_deg" => slope::pitch(theta(), beta()) / DEGREE,
        "cross_axis_deg" => slope::cross_axis_tilt(theta(), beta()) / DEGREE,
        "friction_limit_deg" => grip::friction_limit_angle(row.num("mu")) / DEGREE,
        _ => return None,
    })
}

fn locked_stop(row: &Inputs) -> Answer {
    let angle = row.num("theta_deg") * DEGREE;
    let slowing = slope::locked_deceleration(row.num("g"), row.num("mu"), angle);
    if slowing <= 0.0 {
        return Answer::Words("never".to_owned());
    }
    slope::stop_distance(row.num("v_kmh") * KMH, slowing).into()
}

/// Reaction at constant speed, then a stop measured in plan, at a retardation over g.
fn sight(speed: f64, row: &Inputs, friction: f64) -> f64 {
    let grade = -row.num("grade_pct") / 100.0;
    speed * row.num("reaction_s") + slope::plan_stop_distance(speed, row.num("g"), friction, grade)
}

fn stops(quantity: &str, row: &Inputs) -> Option<f64> {
    const FOOT: f64 = 0.3048;
    Some(match quantity {
        "stopping_sight_us" => {
            let friction = row.num("deceleration_ftps2") * FOOT / row.num("g");
            sight(row.num("speed_mph") * MPH, row, friction) / FOOT
        }
        "stopping_sight_metric" => {
            sight(row.num("speed_kmh") * KMH, row, row.num("deceleration_mps2") / row.num("g"))
        }
        "level_stop_us" => {
            slope::stop_distance(row.num("speed_mph") * MPH, row.num("deceleration_ftps2") * FOOT) / FOOT
        }
        "level_stop_metric" => slope::stop_distance(row.num("speed_kmh") * KMH, row.num("deceleration_mps2")),
        "plan_stop" => {
            let grade = libm::tan(row.num("theta_deg") * DEGREE);
            slope::plan_stop_distance(row.num("v_kmh") * KMH, row.num("g"), row.num("mu"), grade)
        }
        "locked_speed_after" => {
            let angle = row.num("theta_deg") * DEGREE;
            let slowing = slope::locked_deceleration(row.num("g"), row.num("mu"), angle);
            slope::speed_after(row.num("v0_kmh") * KMH, slowing, row.num("s_m")) / KMH
        }
        "crossing_drift" | "crossing_travel" | "crossing_time" => {
            let theta = row.num("theta_deg") * DEGREE;
            let m = row.num("mu") / libm::tan(theta);
            let speed = row.num("v0_kmh") * KMH;
            match quantity {
                "crossing_drift" => grip::crossing_drift(speed, row.num("g"), theta, m),
                "crossing_travel" => grip::crossing_travel(speed, row.num("g"), theta, m),
                _ => grip::crossing_time(speed, row.num("g"), theta, m),
            }
        }
        _ => return None,
    })
}

fn road(row: &Inputs) -> &'static RoadSet {
    let name = row.text("surface");
    ROAD_SETS.iter().find(|set| set.name == name).unwrap_or_else(|| panic!("no set {name}"))
}

fn curves(quantity: &str, row: &Inputs) -> Option<f64> {
    Some(match quantity {
        "burckhardt_mu" => road(row).friction(row.num("s")),
        "burckhardt_peak_slip" => road(row).peak_slip().unwrap(),
        "burckhardt_peak" => road(row).friction(road(row).peak_slip().unwrap()),
        "limit_locked_deg" => grip::friction_limit_angle(road(row).friction(1.0)) / DEGREE,
        "limit_turning_deg" => {
            grip::friction_limit_angle(road(row).friction(road(row).peak_slip().unwrap())) / DEGREE
        }
        "brush_share" => {
            let z = row.num("theta_param") * row.num("sigma");
            grip::brush_share(z)
        }
        "brush_full_slide" => grip::brush_full_slide(row.num("mu"), 1.0, row.num("stiffness")),
        _ => return None,
    })
}

fn steering(quantity: &str, row: &Inputs) -> Option<f64> {
    let delta = || row.num("delta_deg") * DEGREE;
    Some(match quantity {
        "sideways_share" => steer::sliding_share(row.num("k"), delta()),
        "retarding_share" => steer::sliding_retarding_share(row.num("k"), delta()),
        "brush_sideways" => steer::share(row.num("k"), delta(), row.num("theta_param")),
        "resultant_sideways" => {
            let k = row.num("k");
            road(row).friction(grip::slide_rate(k, delta())) * steer::sliding_share(k, delta())
        }
        "front_side_force" => {
            let normal = slope::normal_force(row.num("mass"), row.num("g"), row.num("theta_deg") * DEGREE);
            grip::grip_force(row.num("mu"), normal * row.num("front_share"))
                * steer::sliding_share(row.num("k"), delta())
        }
        "sliding_drift" => {
            let demand =
                grip::side_demand(row.num("theta_deg") * DEGREE, row.num("beta_deg") * DEGREE, row.num("mu"));
            grip::sliding_drift(row.num("k"), demand)
        }
        _ => return None,
    })
}

fn standing(quantity: &str, row: &Inputs) -> Option<f64> {
    Some(match quantity {
        "side_tip_deg" => stability::side_tip_angle(row.num("T_m"), row.num("h_m")) / DEGREE,
        "stability_factor" => stability::stability_factor(row.num("T_m"), row.num("h_m")),
        "axle_load_front" => loads(row).front,
        "axle_load_rear" => loads(row).rear,
        "sliding_front_share" => {
            stability::sliding_front_share(row.num("b"), row.num("h"), row.num("L"), row.num("mu"))
        }
        "nose_tip_deg" => stability::nose_tip_angle(row.num("a"), row.num("h")) / DEGREE,
        "loaded_height" => loaded(row),
        "loaded_tip_deg" => stability::side_tip_angle(row.num("T"), loaded(row)) / DEGREE,
        "tripping_speed" => {
            let [m, t, h] = ["m", "T", "h"].map(|key| row.num(key));
            let inertia = stability::trip_inertia(row.num("Ixx"), m, t, h);
            stability::tripping_speed(inertia, m, t, h, row.num("g"))
        }
        "lifted_axle_height" => {
            let gained = row.num("front_kg_lifted") - row.num("front_kg_level");
            let angle = row.num("theta_deg") * DEGREE;
            stability::lifted_axle_height(row.num("r"), row.num("L"), gained, row.num("m"), angle)
        }
        "bump_roll_deg" => stability::bump_roll(row.num("dz_m"), row.num("T")) / DEGREE,
        "suspension_factor" => stability::suspension_factor(row.num("roll_rate"), row.num("axis_share")),
        _ => return None,
    })
}

fn loaded(row: &Inputs) -> f64 {
    stability::loaded_height(row.num("m"), row.num("h"), row.num("m_roof"), row.num("h_roof"))
}

fn loads(row: &Inputs) -> slopepack::engine::AxleLoads {
    let body = Body {
        mass: row.num("m"),
        wheels: 0.0,
        drag_area: 0.0,
        air: 0.0,
        gravity: row.num("g"),
        wheelbase: row.num("L"),
        to_front: row.num("a"),
        height: row.num("h"),
    };
    assert!((body.to_rear() - row.num("b")).abs() < 1e-9);
    let angle = row.num("theta_deg") * DEGREE;
    let normal = slope::normal_force(body.mass, body.gravity, angle);
    let braking = match row.text("case") {
        "free" => 0.0,
        "steady" => slope::force_down(body.mass, body.gravity, angle),
        locked => normal * locked.strip_prefix("locked").unwrap().parse::<f64>().unwrap(),
    };
    axle_loads(&body, normal, braking)
}
