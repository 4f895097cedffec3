//! Getting a stuck vehicle out: the pull, tackle, drum, angles, snatch, anchors.

use crate::formula::Algebra;

/// Share of the load that each turning sheave adds in the field rule.
///
/// B7, "Allowance for friction"; NAVEDTRA 14043, "Lifting a given weight".
pub const SHEAVE_SHARE: f64 = 0.1;

/// Weight, N: mass (kg), gravity (m/s²).
pub fn weight<A: Algebra>(mass: A, gravity: A) -> A {
    mass * gravity
}

/// Grade resistance, N: weight (N), slope angle (rad).
pub fn grade_pull<A: Algebra>(weight: A, angle: A) -> A {
    weight * angle.sin()
}

/// Grade resistance, N, by the field rule: weight (N), slope as a number of degrees up to 45. Against
/// [`grade_pull`] it is 3.4 % short at 15, right at 30 and 6 % over at 45.
pub fn grade_rule<A: Algebra>(weight: A, degrees: A) -> A {
    weight * degrees / A::num(60.0)
}

/// Mire resistance, N: multiple of the weight by depth, weight (N).
pub fn mire_pull<A: Algebra>(multiple: A, weight: A) -> A {
    multiple * weight
}

/// Resistance of wheels that turn, N, by a fraction of the weight; books drop the slope's cosine.
pub fn ground_pull<A: Algebra>(fraction: A, weight: A) -> A {
    fraction * weight
}

/// Resistance of wheels that cannot turn, N: weight on them (N). Stands in place of rolling.
pub fn damage_pull<A: Algebra>(weight_locked: A) -> A {
    A::num(2.0) * weight_locked / A::num(3.0)
}

/// Horizontal pull that starts to right a vehicle on its side, N: weight (N), height of the centre of
/// mass when upright (m), arm of the pull: from the lower tyres to the points of its upper side (m).
pub fn righting_pull<A: Algebra>(weight: A, height: A, arm: A) -> A {
    weight * height / arm
}

/// Whole resistance, N: ground (mire or rolling, never both) and grade.
pub fn whole_pull<A: Algebra>(ground: A, grade: A) -> A {
    ground + grade
}

/// Pull to plan for, N: a quarter more than the sum, in the older four-wheel-drive practice.
pub fn planned_pull<A: Algebra>(sum: A) -> A {
    A::num(1.25) * sum
}

/// Load with the loss at the sheaves, N: resistance (N), share lost at a sheave, sheaves that turn.
pub fn tackle_load<A: Algebra>(resistance: A, share: A, sheaves: A) -> A {
    resistance * (A::num(1.0) + share * sheaves)
}

/// Force in the line to the winch, N (fall line): load with losses (N), parts of line at the load.
pub fn fall_line<A: Algebra>(load: A, parts: A) -> A {
    load / parts
}

/// Mechanical advantage that is left with an efficiency at each sheave, lead line off the fixed block.
pub fn real_advantage<A: Algebra>(efficiency: A, parts: i32) -> A {
    efficiency.clone() * (A::num(1.0) - efficiency.clone().powi(parts)) / (A::num(1.0) - efficiency)
}

/// Load on a block, N: line pull (N), half the angle between its two lines (rad).
pub fn block_load<A: Algebra>(line: A, half_angle: A) -> A {
    A::num(2.0) * line * half_angle.cos()
}

/// Force in a leg of a two-leg bridle, N: whole pull (N), half the angle between the legs (rad).
pub fn bridle_leg<A: Algebra>(pull: A, half_angle: A) -> A {
    pull / (A::num(2.0) * half_angle.cos())
}

/// Inward force of a bridle on each recovery point, N.
pub fn bridle_inward<A: Algebra>(pull: A, half_angle: A) -> A {
    pull * half_angle.tan() / A::num(2.0)
}

/// Half the angle between bridle legs, rad: distance between the points (m), leg length (m).
pub fn bridle_half_angle<A: Algebra>(between: A, leg: A) -> A {
    let half = between / A::num(2.0);
    (half.clone() / (leg.squared() - half.squared()).sqrt()).atan()
}

/// Pull of a winch on a layer, N: pull on the first (N), barrel (m), rope (m), layer. Constant torque,
/// round rope stacked without nesting.
pub fn layer_pull<A: Algebra>(first: A, barrel: A, rope: A, layer: A) -> A {
    first * (barrel.clone() + rope.clone()) / (barrel + (A::num(2.0) * layer - A::num(1.0)) * rope)
}

/// Rope on one layer, m: turns side by side, barrel (m), rope (m), layer.
pub fn layer_length<A: Algebra>(turns: A, barrel: A, rope: A, layer: A) -> A {
    turns * A::pi() * (barrel + (A::num(2.0) * layer - A::num(1.0)) * rope)
}

/// Distance from which a rope spools evenly, m: half the drum's width (m), fleet angle (rad).
pub fn fleet_distance<A: Algebra>(half_width: A, angle: A) -> A {
    half_width / angle.tan()
}

/// Working load limit, N: breaking strength (N), design factor as stated with it.
pub fn working_load<A: Algebra>(breaking: A, factor: A) -> A {
    breaking / factor
}

/// Force that a factory towing eye is tested with, N: greatest laden mass (kg), gravity (m/s²).
/// Commission Regulation (EU) No 1005/2010.
pub fn towing_eye<A: Algebra>(mass: A, gravity: A) -> A {
    mass * gravity / A::num(2.0)
}

/// Stiffness of a strap, N/m: a load (N), its stretch at that load as a share, its length (m).
pub fn strap_stiffness<A: Algebra>(load: A, stretch: A, length: A) -> A {
    load / (stretch * length)
}

/// Energy of a moving vehicle, J: mass (kg), speed (m/s).
pub fn snatch_energy<A: Algebra>(mass: A, speed: A) -> A {
    mass * speed.squared() / A::num(2.0)
}

/// Peak force of a snatch, N, the other vehicle immovable: speed (m/s), stiffness (N/m), mass (kg).
pub fn snatch_peak<A: Algebra>(speed: A, stiffness: A, mass: A) -> A {
    speed * (stiffness * mass).sqrt()
}

/// Stretch at the peak, m: peak force (N), stiffness (N/m).
pub fn snatch_stretch<A: Algebra>(peak: A, stiffness: A) -> A {
    peak / stiffness
}

/// Peak force, N, with a tractive force (N) held on while the strap stretches: the upper bound.
pub fn snatch_driven<A: Algebra>(traction: A, peak: A) -> A {
    traction.clone() + (traction.squared() + peak.squared()).sqrt()
}

/// Mass that two bodies seem to have to each other, kg.
pub fn reduced_mass<A: Algebra>(one: A, other: A) -> A {
    one.clone() * other.clone() / (one + other)
}

/// Peak force of a snatch, N, when the stuck vehicle comes free at a resistance (N): speed (m/s),
/// stiffness (N/m), mass of the moving and of the stuck vehicle (kg). Where the peak does not reach
/// the resistance the vehicle stays and the peak is that against an immovable one.
pub fn snatch_breakout(speed: f64, stiffness: f64, moving: f64, stuck: f64, resistance: f64) -> f64 {
    let fixed = snatch_peak(speed, stiffness, moving);
    if resistance >= fixed {
        return fixed;
    }
    let left = speed * speed - resistance * resistance / (stiffness * moving);
    let mass = reduced_mass(moving, stuck);
    let steady = resistance * mass / stuck;
    steady + libm::sqrt((resistance - steady) * (resistance - steady) + stiffness * mass * left)
}

/// Peak force, N, of a strap with the law F = A (x/L)^n: scale A (N), length (m), power, energy (J).
pub fn snatch_stiffening(scale: f64, length: f64, power: f64, energy: f64) -> f64 {
    scale * libm::pow((power + 1.0) * energy / (scale * length), power / (power + 1.0))
}

/// Speed gained over slack, m/s: acceleration (m/s²), slack (m).
pub fn slack_speed<A: Algebra>(acceleration: A, slack: A) -> A {
    (A::num(2.0) * acceleration * slack).sqrt()
}

/// Speed of a broken part, m/s, that gets a share of an energy (J): share, energy, mass of the part (kg).
pub fn fragment_speed<A: Algebra>(share: A, energy: A, mass: A) -> A {
    (A::num(2.0) * share * energy / mass).sqrt()
}

/// Length of a buried log or beam, m: force (N), holding power for each area (Pa), height of its face
/// (m), trench for the line (m).
pub fn buried_length<A: Algebra>(force: A, power: A, face: A, trench: A) -> A {
    force / (power * face) + trench
}

/// Force a buried log holds, N: holding power for each area (Pa), height of its face (m), length that counts (m).
pub fn buried_hold<A: Algebra>(power: A, face: A, length: A) -> A {
    power * face * length
}

/// Force a braked vehicle holds as an anchor, N, pulled down the slope it stands on: mass (kg), gravity
/// (m/s²), friction, slope angle (rad).
pub fn braked_anchor<A: Algebra>(mass: A, gravity: A, friction: A, angle: A) -> A {
    mass * gravity * (friction * angle.clone().cos() - angle.sin())
}

/// What a line that rises from the ground (rad) takes off a braked anchor: its hold is divided by this. The
/// line's own pull lifts weight off the wheels.
pub fn lifted<A: Algebra>(friction: A, rise: A) -> A {
    rise.clone().cos() + friction * rise.sin()
}

/// Force a foot brake holds with its wheels locked, N: weight (N), slope angle (rad), friction of the whole
/// vehicle with the axles that are braked.
pub fn brake_hold<A: Algebra>(weight: A, angle: A, friction: A) -> A {
    friction * weight * angle.cos()
}

/// What a piece may carry pulled off its line, N: its limit in line (N), share that a side load leaves.
pub fn side_limit<A: Algebra>(limit: A, share: A) -> A {
    limit * share
}

/// Speed at which a vehicle goes down on a line, m/s: speed of the line (m/s), parts of line.
pub fn lowering_speed<A: Algebra>(line: A, parts: A) -> A {
    line / parts
}

/// Load to choose an anchor by, N: what it must hold (N), margin as a factor.
pub fn anchor_rating<A: Algebra>(holds: A, margin: A) -> A {
    holds / margin
}

/// Distance people keep from a loaded line, m: its whole rigged length (m).
pub fn clear_distance<A: Algebra>(line: A) -> A {
    A::num(1.5) * line
}

/// Share of the working load limit that is left for the load.
pub fn margin_left<A: Algebra>(rating: A, load: A) -> A {
    (rating.clone() - load) / rating
}

/// Force that holds a vehicle whose wheels turn on a slope, N: weight (N), slope angle (rad), rolling
/// resistance coefficient, at its lowest.
pub fn holding_force<A: Algebra>(weight: A, angle: A, rolling: A) -> A {
    weight * (angle.clone().sin() - rolling * angle.cos())
}

/// Greatest force, N, when a steady force (N) comes onto a line at once and without slack: a brake let
/// off all at once. Twice the steady one, whatever the line (suddenly applied load on a linear spring).
pub fn sudden_load<A: Algebra>(steady: A) -> A {
    A::num(2.0) * steady
}

/// Force that sets a vehicle moving on a tow line, N: resistance (N), mass (kg), acceleration (m/s²).
pub fn tow_start<A: Algebra>(resistance: A, mass: A, acceleration: A) -> A {
    resistance + mass * acceleration
}

/// Force that a level catch line needs to hold a vehicle that is being righted, N, at a lean past its
/// balance: weight (N), height of the centre of mass (m), width (m), the point the line is made fast to, from the
/// tyres it turns about, across and up (m), all when upright, lean from lying on its side (rad, 0 to π/2), side slope that
/// helps it over (rad). Negative before the balance, where it still falls back.
pub fn catch_force(weight: f64, height: f64, width: f64, point: [f64; 2], lean: f64, side: f64) -> f64 {
    let turned = lean + side;
    let moment = weight * (width / 2.0 * libm::sin(turned) - height * libm::cos(turned));
    let [across, up] = point;
    moment / (across * libm::cos(lean) + up * libm::sin(lean))
}
