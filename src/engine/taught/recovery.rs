//! Recovery: the pull, tackle, drum, bridle, ratings, snatch, anchors, distance.

use super::units::{GRAVITY_ON_POUNDS, MASS_FOR_WEIGHT, km_per_hour, miles_per_hour, over_1_467, times_3_6};
use crate::engine::formulas::recovery::{
    block_load, braked_anchor, bridle_inward, bridle_leg, clear_distance, damage_pull, fall_line, grade_pull,
    grade_rule, ground_pull, layer_pull, mire_pull, planned_pull, righting_pull, snatch_driven, snatch_peak,
    strap_stiffness, tackle_load, weight, whole_pull, working_load,
};
use crate::engine::symbols::{
    ANCHOR_HOLD, BARREL, BLOCK_LOAD, BREAKING, BRIDLE_INWARD, BRIDLE_LEG, CENTRE_HEIGHT, CLEAR_DISTANCE,
    DESIGN_FACTOR, FALL_LINE, FIRST_LAYER, FRICTION_SLIDING, GRADE_PULL, GRAVITY_ACCELERATION,
    GROUND_FRACTION, GROUND_PULL, HALF_ANGLE, LAYER, LAYER_PULL, LOCKED_WEIGHT, MASS, MIRE_MULTIPLE, PARTS,
    PLANNED_PULL, RIGGED_LENGTH, RIGHTING_ARM, RIGHTING_PULL, ROPE, SHEAVE_LOSS, SHEAVES, SLOPE_ANGLE,
    SLOPE_DEGREES, SNATCH_DRIVEN, SNATCH_PEAK, STIFFNESS, STRAP_LENGTH, STRETCH_SHARE, TACKLE_LOAD, TRACTION,
    TUG_MASS, TUG_SPEED, WEIGHT, WHOLE_PULL, WORKING_LOAD,
};
use crate::formula::{Algebra, Bend, Expr, Formula, Slip, formula};

/// Every formula here.
pub static ALL: &[&Formula] = &[
    &WEIGHT_OF_MASS,
    &GRADE_RESISTANCE,
    &GRADE_BY_RULE,
    &MIRE_RESISTANCE,
    &GROUND_RESISTANCE,
    &LOCKED_RESISTANCE,
    &RIGHTING,
    &WHOLE_RESISTANCE,
    &PULL_TO_PLAN,
    &LOAD_WITH_LOSS,
    &LINE_PULL,
    &LOAD_OF_BLOCK,
    &LEG_OF_BRIDLE,
    &INWARD_OF_BRIDLE,
    &PULL_ON_LAYER,
    &LIMIT_FROM_STRENGTH,
    &STRAP_STIFFNESS,
    &PEAK_OF_SNATCH,
    &PEAK_WITH_DRIVE,
    &BRAKED_ANCHOR,
    &CLEAR_OF_LINE,
];

formula! {
    WEIGHT_OF_MASS = weight as (mass: MASS, gravity: GRAVITY_ACCELERATION) => WEIGHT;
    id: "recovery-weight",
    title: "Weight",
    why: "As it stands: crew, load, fuel and mud on board. The scales give a mass; the line feels a force.",
    source: "Definition; standard gravity of N5",
    slips: [MASS_FOR_WEIGHT, GRAVITY_ON_POUNDS],
}

formula! {
    GRADE_RESISTANCE = grade_pull as (weight: WEIGHT, angle: SLOPE_ANGLE) => GRADE_PULL;
    id: "grade-resistance",
    title: "Grade resistance",
    why: "The part of the weight that points down the slope, and so against the line.",
    source: "Weight resolved along the slope; B18, grades, agree with it to rounding",
    slips: [
        Slip { id: "cosine", why: "took the cosine: that part presses on the ground", bend: Bend::Instead(|given| given[0].clone() * given[1].clone().cos()) },
        Slip { id: "tangent", why: "took the per cent grade: height over level distance, not over the distance pulled", bend: Bend::Instead(|given| given[0].clone() * given[1].clone().tan()) },
        Slip { id: "whole-weight", why: "took the whole weight", bend: Bend::Instead(|given| given[0].clone()) },
    ],
}

formula! {
    GRADE_BY_RULE = grade_rule as (weight: WEIGHT, degrees: SLOPE_DEGREES) => GRADE_PULL;
    id: "grade-rule",
    title: "Grade resistance by the field rule",
    why: "A sixtieth of the weight for each degree, up to 45. 3 % short at 15°, right at 30°, 6 % over at 45°.",
    source: "B18, grades: a quarter of the weight at 15 degrees, a half at 30, three quarters at 45",
    slips: [
        Slip { id: "ninety", why: "divided by 90 instead of 60", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() / Expr::num(90.0)) },
        Slip { id: "per-cent", why: "took the degrees for per cent", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() / Expr::num(100.0)) },
    ],
}

formula! {
    MIRE_RESISTANCE = mire_pull as (multiple: MIRE_MULTIPLE, weight: WEIGHT) => GROUND_PULL;
    id: "mire-resistance",
    title: "Resistance in mire",
    why: "A multiple of the weight by the depth it has sunk to. Say the mark, not only the number: books differ.",
    source: "Depth rule of B10 as B18 gives it: hub 1, fender 2, cab 3",
    slips: [
        Slip { id: "one-mark-more", why: "took the next deeper mark", bend: Bend::Instead(|given| (given[0].clone() + Expr::num(1.0)) * given[1].clone()) },
            Slip { id: "other-system", why: "took the half of a bog from another system: one system at a time", bend: Bend::Instead(|given| given[1].clone() / Expr::num(2.0)) },
    ],
}

formula! {
    GROUND_RESISTANCE = ground_pull as (fraction: GROUND_FRACTION, weight: WEIGHT) => GROUND_PULL;
    id: "ground-resistance",
    title: "Resistance of wheels that turn",
    why: "A fraction of the weight by the ground. Either this or the mire, never both.",
    source: "E8, older practice: hard road 1/25, bog 1/2; the rest common practice, no source",
    slips: [
        Slip { id: "no-fraction", why: "took the whole weight for a vehicle whose wheels turn", bend: Bend::LeftOut(&GROUND_FRACTION) },
        Slip { id: "turned-over", why: "divided by the fraction", bend: Bend::Instead(|given| given[1].clone() / given[0].clone()) },
    ],
}

formula! {
    LOCKED_RESISTANCE = damage_pull as (locked: LOCKED_WEIGHT) => GROUND_PULL;
    id: "locked-wheel-resistance",
    title: "Resistance of wheels that cannot turn",
    why: "Two thirds of the weight on the locked wheels. It stands in place of rolling, not beside it.",
    source: "E5: 11,000 lb locked gives 7,333 lb",
    slips: [
        Slip { id: "one-third", why: "took one third, the fraction of soft ground", bend: Bend::Whole(|r| r / Expr::num(2.0)) },
        Slip { id: "whole", why: "took the whole weight", bend: Bend::Instead(|given| given[0].clone()) },
    ],
}

formula! {
    RIGHTING = righting_pull as (weight: WEIGHT, height: CENTRE_HEIGHT, arm: RIGHTING_ARM) => RIGHTING_PULL;
    id: "righting-pull",
    title: "Pull that starts to right it",
    why: "On its side, the weight stands off the lower edge by what was the height of its centre; the line pulls at the upper side.",
    source: "Moments about the lower edge; half the weight, common practice, covers it",
    slips: [
        Slip { id: "whole-weight", why: "took the whole weight: it is tipped, not lifted", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "turned-over", why: "turned the arms round", bend: Bend::Instead(|given| given[0].clone() * given[2].clone() / given[1].clone()) },
    ],
}

formula! {
    WHOLE_RESISTANCE = whole_pull as (ground: GROUND_PULL, grade: GRADE_PULL) => WHOLE_PULL;
    id: "whole-resistance",
    title: "Pull to get it out",
    why: "Ground and grade add when the pull goes up.",
    source: "Sum of the resistances",
    slips: [
        Slip { id: "no-grade", why: "forgot the slope", bend: Bend::LeftOut(&GRADE_PULL) },
        Slip { id: "downhill", why: "took the grade off, as if pulling down", bend: Bend::Instead(|given| given[0].clone() - given[1].clone()) },
    ],
}

formula! {
    PULL_TO_PLAN = planned_pull as (sum: WHOLE_PULL) => PLANNED_PULL;
    id: "planned-pull",
    title: "Pull to plan for",
    why: "This system adds a quarter to its sum, for what nobody can see.",
    source: "E9",
    slips: [
        Slip { id: "no-quarter", why: "left the quarter out", bend: Bend::Whole(|r| r / Expr::num(1.25)) },
        Slip { id: "only-quarter", why: "took the quarter alone", bend: Bend::Whole(|r| r / Expr::num(5.0)) },
    ],
}

formula! {
    LOAD_WITH_LOSS = tackle_load as (pull: WHOLE_PULL, share: SHEAVE_LOSS, sheaves: SHEAVES) => TACKLE_LOAD;
    id: "tackle-load",
    title: "Load with the loss at the sheaves",
    why: "Each turning sheave adds a tenth of the load, whatever the line pulls.",
    source: "B7, allowance for friction: 1,000 lb and 4 sheaves make 1,400 lb",
    slips: [
        Slip { id: "no-loss", why: "forgot the loss at the sheaves", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "gained", why: "took the loss off instead of adding it", bend: Bend::Instead(|given| given[0].clone() * (Expr::num(1.0) - given[1].clone() * given[2].clone())) },
    ],
}

formula! {
    LINE_PULL = fall_line as (load: TACKLE_LOAD, parts: PARTS) => FALL_LINE;
    id: "fall-line-force",
    title: "Force in the line to the winch",
    why: "Count the parts of line at the load: each carries its share. Each end made fast carries as much.",
    source: "B13, steps 4 and 5: the winch is checked by the fall line",
    slips: [
        Slip { id: "no-parts", why: "left the parts out, as for a single line", bend: Bend::LeftOut(&PARTS) },
        Slip { id: "one-too-many", why: "counted one part too many: the lead to the winch off a fixed block does not count", bend: Bend::Instead(|given| given[0].clone() / (given[1].clone() + Expr::num(1.0))) },
    ],
}

formula! {
    LOAD_OF_BLOCK = block_load as (line: FALL_LINE, half: HALF_ANGLE) => BLOCK_LOAD;
    id: "block-load",
    title: "Load on the block",
    why: "Both lines pull at it. Side by side they double; at a right angle 1.41 times; the narrower, the worse.",
    source: "B18, load factors of a block: 2.00 at 0 degrees, 1.41 at 90, 1.00 at 120",
    slips: [
        Slip { id: "one-line", why: "counted one line: a block carries both", bend: Bend::Whole(|f| f / Expr::num(2.0)) },
        Slip { id: "sine", why: "took the sine: that is the supplement of the angle", bend: Bend::Instead(|given| Expr::num(2.0) * given[0].clone() * given[1].clone().sin()) },
        Slip { id: "line-alone", why: "took the line pull for the load on the block at any angle", bend: Bend::Instead(|given| given[0].clone()) },
    ],
}

formula! {
    LEG_OF_BRIDLE = bridle_leg as (pull: WHOLE_PULL, half: HALF_ANGLE) => BRIDLE_LEG;
    id: "bridle-leg",
    title: "Force in each leg of a bridle",
    why: "The wider the legs, the more each pulls: at 120° each carries the whole.",
    source: "Two equal legs resolved along the pull",
    slips: [
        Slip { id: "shared", why: "halved the pull and forgot the angle", bend: Bend::Instead(|given| given[0].clone() / Expr::num(2.0)) },
        Slip { id: "times", why: "multiplied by the cosine", bend: Bend::Instead(|given| given[0].clone() * given[1].clone().cos() / Expr::num(2.0)) },
        Slip { id: "whole", why: "gave each leg the whole pull", bend: Bend::Instead(|given| given[0].clone()) },
    ],
}

formula! {
    INWARD_OF_BRIDLE = bridle_inward as (pull: WHOLE_PULL, half: HALF_ANGLE) => BRIDLE_INWARD;
    id: "bridle-inward",
    title: "Inward force of a bridle",
    why: "The legs also squeeze the two points together; a point rated in line may not be rated for that.",
    source: "Two equal legs resolved across the pull",
    slips: [
        Slip { id: "no-half", why: "did not halve the pull", bend: Bend::Whole(|f| Expr::num(2.0) * f) },
    ],
}

formula! {
    PULL_ON_LAYER = layer_pull as (first: FIRST_LAYER, barrel: BARREL, rope: ROPE, layer: LAYER) => LAYER_PULL;
    id: "layer-pull",
    title: "Winch pull on a layer",
    why: "The motor's torque stays, the drum grows: reckon with the layer at the end of the pull.",
    source: "Constant torque; reproduces the five layers of B11, table 2-7, to 0.1 %",
    slips: [
        Slip { id: "first-layer", why: "took the first layer, as printed on the winch", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "layer-before", why: "took the layer before", bend: Bend::InPlaceOf(&LAYER, |n| n - Expr::num(1.0)) },
        Slip { id: "one-side", why: "let the drum grow on one side only", bend: Bend::Instead(|given| given[0].clone() * (given[1].clone() + given[2].clone()) / (given[1].clone() + given[3].clone() * given[2].clone())) },
    ],
}

formula! {
    LIMIT_FROM_STRENGTH = working_load as (breaking: BREAKING, factor: DESIGN_FACTOR) => WORKING_LOAD;
    id: "working-load",
    title: "Working load limit",
    why: "Only with the factor stated beside the strength. Without it nothing is converted.",
    source: "Definition of the design factor, N1",
    slips: [
        Slip { id: "strength-for-limit", why: "took the breaking strength for the working load limit", bend: Bend::LeftOut(&DESIGN_FACTOR) },
        Slip { id: "times", why: "multiplied by the factor", bend: Bend::Instead(|given| given[0].clone() * given[1].clone()) },
    ],
}

formula! {
    STRAP_STIFFNESS = strap_stiffness as (load: BREAKING, stretch: STRETCH_SHARE, length: STRAP_LENGTH) => STIFFNESS;
    id: "strap-stiffness",
    title: "Stiffness of the strap",
    why: "Load over stretch. A strap that is twice as strong is twice as hard.",
    source: "Linear spring through the strength and the stretch at it",
    slips: [
        Slip { id: "no-length", why: "took the share for the stretch and left the length out", bend: Bend::LeftOut(&STRAP_LENGTH) },
        Slip { id: "no-stretch", why: "left the stretch out", bend: Bend::LeftOut(&STRETCH_SHARE) },
    ],
}

formula! {
    PEAK_OF_SNATCH = snatch_peak as (speed: TUG_SPEED, stiffness: STIFFNESS, mass: TUG_MASS) => SNATCH_PEAK;
    id: "snatch-peak",
    title: "Peak force of a snatch",
    why: "The energy of the speed goes into the strap. Twice the speed, twice the force; the stuck vehicle is taken as immovable.",
    source: "Energy of a moving body taken up by a linear spring; E6: 20.6 kN on a mid-size 4×4 in soft sand",
    slips: [
        km_per_hour(&times_3_6(&TUG_SPEED)),
        miles_per_hour(&over_1_467(&TUG_SPEED)),
        Slip { id: "half", why: "put the half of the energy on one side only", bend: Bend::Whole(|f| f / Expr::num(2.0).sqrt()) },
    ],
}

formula! {
    PEAK_WITH_DRIVE = snatch_driven as (traction: TRACTION, peak: SNATCH_PEAK) => SNATCH_DRIVEN;
    id: "snatch-driven",
    title: "Peak force with the drive held on",
    why: "Who keeps the throttle on while the strap stretches adds to it: the upper bound, and what parts are chosen for.",
    source: "Energy balance of a spring with a steady force",
    slips: [
        Slip { id: "added", why: "added the driving force once", bend: Bend::Instead(|given| given[0].clone() + given[1].clone()) },
        Slip { id: "no-drive", why: "forgot the driving force", bend: Bend::Instead(|given| given[1].clone()) },
    ],
}

formula! {
    BRAKED_ANCHOR = braked_anchor as (mass: MASS, gravity: GRAVITY_ACCELERATION, friction: FRICTION_SLIDING, angle: SLOPE_ANGLE) => ANCHOR_HOLD;
    id: "braked-anchor",
    title: "A braked vehicle as anchor",
    why: "Friction holds, the slope it stands on takes away. No margin is in it.",
    source: "Coulomb friction on a slope",
    slips: [
        MASS_FOR_WEIGHT, GRAVITY_ON_POUNDS,
        Slip { id: "no-friction", why: "took the whole weight for what it holds", bend: Bend::Instead(|given| given[0].clone() * given[1].clone()) },
        Slip { id: "added", why: "added the slope, as if the pull went up", bend: Bend::Instead(|given| given[0].clone() * given[1].clone() * (given[2].clone() * given[3].clone().cos() + given[3].clone().sin())) },
    ],
}

formula! {
    CLEAR_OF_LINE = clear_distance as (line: RIGGED_LENGTH) => CLEAR_DISTANCE;
    id: "clear-distance",
    title: "Distance people keep",
    why: "One and a half times the whole rigged line, round every loaded point, and never in line with it.",
    source: "R5 and B16: 1.5 times the unstretched length",
    slips: [
        Slip { id: "once", why: "took the length of the line once", bend: Bend::Instead(|given| given[0].clone()) },
        Slip { id: "half", why: "took half the line", bend: Bend::Whole(|d| d / Expr::num(3.0)) },
    ],
}
