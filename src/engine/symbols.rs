//! The letters of the trade: what each stands for, its units and how it is said.

use crate::formula::symbols;
use crate::quantity::Digits::{Fixed, Significant};

symbols! {
    // Tyres and gearing.
    TYRE_WIDTH = "W", "W", "W", "tyre width", LENGTH, MILLIMETRE, MILLIMETRE, Significant(3);
    ASPECT = "A", "A", "A", "section height as a share of the width", NONE, PERCENT, PERCENT, Significant(2);
    RIM = "R", "R", "R", "rim diameter", LENGTH, INCH, INCH, Significant(2);
    DIAMETER = "D", "D", "D", "overall tyre diameter", LENGTH, MILLIMETRE, INCH, Significant(3);
    ROLLING_FACTOR = "F_C", "F_C", "F_C", "rolling circumference for each diameter", NONE, ONE, ONE, Significant(3);
    CIRCUMFERENCE = "C", "C", "C", "rolling circumference", LENGTH, METRE, FOOT, Significant(4);
    RADIUS = "r", "r", "r", "rolling radius", LENGTH, METRE, FOOT, Significant(3);
    GEAR_RATIO = "i_1", "i_\"gear\"", "i_gear", "gearbox ratio", NONE, TO_ONE, TO_ONE, Significant(3);
    TRANSFER_RATIO = "i_t", "i_\"transfer\"", "i_transfer", "transfer case ratio", NONE, TO_ONE, TO_ONE, Significant(3);
    AXLE_RATIO = "i_a", "i_\"axle\"", "i_axle", "axle ratio", NONE, TO_ONE, TO_ONE, Significant(3);
    HUB_RATIO = "i_h", "i_\"hub\"", "i_hub", "hub ratio", NONE, TO_ONE, TO_ONE, Significant(3);
    OVERALL_RATIO = "i", "i", "i", "overall ratio", NONE, TO_ONE, TO_ONE, Significant(3);
    ENGINE_SPEED = "n", "n", "n", "engine speed", RATE, RPM, RPM, Significant(3);
    SPEED = "v", "v", "v", "speed", SPEED, KM_PER_HOUR, MILE_PER_HOUR, Significant(3);

    // Slopes.
    MASS = "m", "m", "m", "mass", MASS, KILOGRAM, POUND, Significant(3);
    GRAVITY_ACCELERATION = "g", "g", "g", "gravity", ACCELERATION, METRE_PER_SECOND_2, FOOT_PER_SECOND_2, Fixed(3);
    SLOPE_ANGLE = "theta", "theta", "θ", "slope angle", NONE, DEGREE, DEGREE, Significant(3);
    GRADE = "p", "p", "p", "grade", NONE, PERCENT, PERCENT, Significant(3);
    ONE_IN = "n_1", "n_1", "n₁", "length on the level for one of height", NONE, ONE, ONE, Significant(3);
    SLOPE_LENGTH = "L", "L", "L", "length along the slope", LENGTH, METRE, FOOT, Significant(3);
    HEIGHT = "H", "H", "H", "height", LENGTH, METRE, FOOT, Significant(3);
    PULL = "F_s", "F_\"slope\"", "F_slope", "force down the slope", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    NORMAL = "N", "N", "N", "force square to the slope", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    FRICTION = "mu", "mu", "μ", "friction coefficient", NONE, ONE, ONE, Significant(2);
    FRICTION_PEAK = "mu_p", "mu_\"peak\"", "μ_peak", "best friction coefficient of a turning wheel", NONE, ONE, ONE, Significant(2);
    FRICTION_SLIDING = "mu_s", "mu_\"slide\"", "μ_slide", "friction coefficient of a sliding wheel", NONE, ONE, ONE, Significant(2);
    LIMIT_ANGLE = "theta_max", "theta_\"limit\"", "θ_limit", "limit slope", NONE, DEGREE, DEGREE, Significant(3);
    DECELERATION = "a", "a", "a", "deceleration", ACCELERATION, METRE_PER_SECOND_2, FOOT_PER_SECOND_2, Significant(3);
    ENTRY_SPEED = "v_0", "v_0", "v₀", "speed at the start", SPEED, KM_PER_HOUR, MILE_PER_HOUR, Significant(2);
    EXIT_SPEED = "v_2", "v_2", "v₂", "speed at the end", SPEED, KM_PER_HOUR, MILE_PER_HOUR, Significant(3);
    STOP_DISTANCE = "d", "d", "d", "stopping distance along the slope", LENGTH, METRE, FOOT, Significant(3);
    STOP_TIME = "t", "t", "t", "time to stop", TIME, SECOND, SECOND, Significant(3);

    // Engine drag.
    DRAG_PRESSURE = "p_m", "p_\"drag\"", "p_drag", "mean pressure of engine drag", PRESSURE, BAR, PSI, Significant(3);
    DISPLACEMENT = "V", "V", "V", "displacement", VOLUME, LITRE, CUBIC_INCH, Significant(2);
    DRAG_TORQUE = "T", "T", "T", "engine drag torque", ENERGY, NEWTON_METRE, POUND_FOOT, Significant(3);
    EFFICIENCY = "eta", "eta", "η", "driveline efficiency", NONE, ONE, ONE, Significant(2);
    HOLDING_FORCE = "F_e", "F_\"engine\"", "F_engine", "holding force of the engine at the tyres", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    ROLLING_COEFFICIENT = "f", "f", "f", "rolling resistance coefficient", NONE, ONE, ONE, Significant(2);
    ROLLING_FORCE = "F_r", "F_\"roll\"", "F_roll", "rolling resistance", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    NEEDED_FORCE = "F_n", "F_\"hold\"", "F_hold", "force still to be held", FORCE, KILONEWTON, POUND_FORCE, Significant(3);

    // Energy and heat.
    HEIGHT_ENERGY = "E_h", "E_\"height\"", "E_height", "energy of the height", ENERGY, KILOJOULE, BTU, Significant(3);
    SPEED_ENERGY = "E_v", "E_\"speed\"", "E_speed", "energy of the speed", ENERGY, KILOJOULE, BTU, Significant(3);
    SPEED_GIVEN_UP = "E_l", "E_\"lost\"", "E_lost", "energy of the speed given up on the way down", ENERGY, KILOJOULE, BTU, Significant(3);
    SPEED_GAINED = "E_g", "E_\"gained\"", "E_gained", "energy of the speed gained on the way down", ENERGY, KILOJOULE, BTU, Significant(3);
    ROLLING_ENERGY = "E_r", "E_\"roll\"", "E_roll", "energy taken by rolling resistance", ENERGY, KILOJOULE, BTU, Significant(3);
    BRAKE_ENERGY = "E_b", "E_\"brake\"", "E_brake", "energy taken by the brakes", ENERGY, KILOJOULE, BTU, Significant(3);
    SLIP_ENERGY = "E_t", "E_\"slip\"", "E_slip", "energy taken by the slip of the tyres", ENERGY, KILOJOULE, BTU, Significant(3);
    AXLE_ENERGY = "E_f", "E_\"front\"", "E_front", "heat in the front brakes", ENERGY, KILOJOULE, BTU, Significant(3);
    IRON_SHARE = "gamma", "gamma", "γ", "part of the heat that goes into the iron", NONE, PERCENT, PERCENT, Significant(2);
    FRICTION_FORCE = "F_mu", "F_\"friction\"", "F_friction", "friction force on the sliding wheels", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    SLIDING_ENERGY = "E_s", "E_\"slide\"", "E_slide", "energy taken by the ground under sliding wheels", ENERGY, KILOJOULE, BTU, Significant(3);
    FRONT_SHARE = "phi", "phi", "φ", "front axle's share of the braking", NONE, PERCENT, PERCENT, Significant(2);
    DISC_COUNT = "k", "k", "k", "number of discs or drums on the axle", NONE, ONE, ONE, Significant(1);
    DISC_MASS = "m_d", "m_\"disc\"", "m_disc", "mass of one disc or drum", MASS, KILOGRAM, POUND, Significant(2);
    HEAT_CAPACITY = "c", "c", "c", "specific heat capacity", HEAT_CAPACITY, JOULE_PER_KG_KELVIN, BTU_PER_POUND, Significant(3);
    TEMPERATURE_RISE = "dT", "Delta T", "ΔT", "temperature rise", TEMPERATURE, KELVIN, FAHRENHEIT_STEP, Significant(3);

    // Balance and stability.
    WHEELBASE = "l", "l", "l", "wheelbase", LENGTH, METRE, INCH, Significant(3);
    TRACK = "w", "w", "w", "track", LENGTH, METRE, INCH, Significant(3);
    CENTRE_HEIGHT = "h", "h", "h", "height of the centre of mass", LENGTH, METRE, INCH, Significant(2);
    CENTRE_TO_FRONT = "a_f", "a", "a", "centre of mass behind the front axle", LENGTH, METRE, INCH, Significant(3);
    CENTRE_TO_REAR = "b", "b", "b", "centre of mass before the rear axle", LENGTH, METRE, INCH, Significant(3);
    BRAKING_FORCE = "F_b", "F_\"brake\"", "F_brake", "braking force at the ground", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    FRONT_LOAD = "N_f", "N_\"front\"", "N_front", "load on the front axle", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    REAR_LOAD = "N_r", "N_\"rear\"", "N_rear", "load on the rear axle", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    TIP_ANGLE = "alpha", "alpha", "α", "rigid tip angle", NONE, DEGREE, DEGREE, Significant(3);
    NOSE_TIP = "alpha_n", "alpha_\"nose\"", "α_nose", "slope at which the rear of a rigid vehicle lifts", NONE, DEGREE, DEGREE, Significant(3);
    HEADING = "beta", "beta", "β", "heading off the fall line", NONE, DEGREE, DEGREE, Significant(2);
    PITCH = "pitch", "theta_\"pitch\"", "θ_pitch", "pitch", NONE, DEGREE, DEGREE, Significant(3);
    ROLL = "roll", "theta_\"roll\"", "θ_roll", "roll", NONE, DEGREE, DEGREE, Significant(3);
    SPEED_RATIO = "kappa", "k", "k", "wheel speed as a share of ground speed", NONE, ONE, ONE, Significant(2);
    STEER_ANGLE = "delta", "delta", "δ", "steer angle", NONE, DEGREE, DEGREE, Significant(2);
    STEERING_SHARE = "s", "s", "s", "steering share of the grip", NONE, ONE, ONE, Significant(3);

    // Models and the comparison.
    SCALE = "n_f", "n", "n", "full size over model size", NONE, ONE, ONE, Significant(2);
    MODEL_SPEED = "v_m", "v_\"model\"", "v_model", "speed of the model", SPEED, KM_PER_HOUR, MILE_PER_HOUR, Significant(3);
    MODEL_ENERGY = "E_m", "E_\"model\"", "E_model", "energy of the model", ENERGY, JOULE, FOOT_POUND, Significant(3);
    HOLDING_SHARE = "B_h", "B", "B", "holding force for each unit of weight", NONE, ONE, ONE, Significant(3);

    // The choice of a gear, its pace, the day's sum.
    ASKED_SHARE = "A_s", "A", "A", "what the slope asks for each unit of weight", NONE, ONE, ONE, Significant(3);
    HELD_OVER = "k_h", "k_\"hold\"", "k_hold", "what the gear holds over what the slope asks", NONE, ONE, ONE, Significant(3);
    PEG_DISTANCE = "d_p", "d_\"pegs\"", "d_pegs", "distance between the pegs", LENGTH, METRE, FOOT, Significant(2);
    PEG_TIME = "t_p", "t_\"pegs\"", "t_pegs", "time from peg to peg", TIME, SECOND, SECOND, Significant(2);
    RUN_TIMES = "T_runs", "T_\"runs\"", "T_runs", "the runs of all vehicles, one each", TIME, SECOND, SECOND, Significant(3);
    VEHICLES = "n_v", "n_\"vehicles\"", "n_vehicles", "vehicles that drive", NONE, ONE, ONE, Significant(1);
    TURN_ROUND = "t_c", "t_\"clear\"", "t_clear", "from a stop at the foot to the next start", TIME, SECOND, SECOND, Significant(2);
    ROUND_TIME = "T_round", "T_\"round\"", "T_round", "one round of all vehicles", TIME, MINUTE, MINUTE, Significant(3);
    LONGEST_RUN = "t_long", "t_\"longest\"", "t_longest", "the longest run", TIME, SECOND, SECOND, Significant(3);
    RUN_GAP = "t_gap", "t_\"gap\"", "t_gap", "from the end of a vehicle's run to the start of its next", TIME, MINUTE, MINUTE, Significant(2);
    RUNS = "n_runs", "n_\"runs\"", "n_runs", "runs of each vehicle", NONE, ONE, ONE, Significant(1);
    SLOPE_TIME = "T_slope", "T_\"slope\"", "T_slope", "time on the slope", TIME, MINUTE, MINUTE, Significant(3);
    TIME_BEFORE = "T_before", "T_\"before\"", "T_before", "driving before it in the session", TIME, MINUTE, MINUTE, Significant(3);
    SESSION_TIME = "T_session", "T_\"session\"", "T_session", "driving in the session so far", TIME, MINUTE, MINUTE, Significant(3);

    // Recovery.
    WEIGHT = "W_v", "W", "W", "weight", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    SLOPE_DEGREES = "theta_d", "theta_\"degrees\"", "θ_degrees", "slope as a number of degrees", NONE, ONE, ONE, Significant(3);
    GRADE_PULL = "R_g", "R_\"grade\"", "R_grade", "grade resistance", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    MIRE_MULTIPLE = "n_m", "n", "n", "multiple of the weight by depth", NONE, ONE, ONE, Significant(2);
    GROUND_FRACTION = "c_g", "c", "c", "fraction of the weight by ground", NONE, ONE, ONE, Significant(2);
    GROUND_PULL = "R_r", "R_\"ground\"", "R_ground", "resistance of the ground", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    LOCKED_WEIGHT = "W_l", "W_\"locked\"", "W_locked", "weight on wheels that cannot turn", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    RIGHTING_ARM = "b_r", "b", "b", "lower tyres to the upper points, the arm of the pull", LENGTH, METRE, INCH, Significant(3);
    RIGHTING_PULL = "F_u", "F_\"right\"", "F_right", "pull that starts to right it", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    WHOLE_PULL = "R_all", "R", "R", "pull to get it out", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    PLANNED_PULL = "R_plan", "R_\"plan\"", "R_plan", "pull to plan for", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    SHEAVE_LOSS = "q", "q", "q", "share of the load lost at each sheave", NONE, ONE, ONE, Significant(2);
    SHEAVES = "n_s", "n_\"sheaves\"", "n_sheaves", "sheaves that turn", NONE, ONE, ONE, Significant(1);
    TACKLE_LOAD = "R_t", "R_\"tackle\"", "R_tackle", "load with the loss at the sheaves", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    PARTS = "n_p", "n_\"parts\"", "n_parts", "parts of line at the load", NONE, ONE, ONE, Significant(1);
    FALL_LINE = "T_f", "T", "T", "force in the line to the winch", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    HALF_ANGLE = "alpha_h", "alpha_\"half\"", "α_half", "half the angle between the two lines", NONE, DEGREE, DEGREE, Significant(2);
    BLOCK_LOAD = "F_k", "F_\"block\"", "F_block", "load on the block", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    BRIDLE_LEG = "F_leg", "F_\"leg\"", "F_leg", "force in each leg of the bridle", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    BRIDLE_INWARD = "F_in", "F_\"inward\"", "F_inward", "inward force on each recovery point", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    FIRST_LAYER = "T_1", "T_1", "T₁", "winch pull on the first layer", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    BARREL = "D_b", "D", "D", "barrel of the drum", LENGTH, MILLIMETRE, INCH, Significant(3);
    ROPE = "d_r", "d", "d", "thickness of the rope", LENGTH, MILLIMETRE, INCH, Significant(2);
    LAYER = "n_l", "n_\"layer\"", "n_layer", "layer of rope in use", NONE, ONE, ONE, Significant(1);
    LAYER_PULL = "T_n", "T_\"layer\"", "T_layer", "winch pull on that layer", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    BREAKING = "B", "B", "B", "breaking strength", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    DESIGN_FACTOR = "z", "z", "z", "design factor on the label", NONE, ONE, ONE, Significant(2);
    WORKING_LOAD = "F_w", "F_\"WLL\"", "F_WLL", "working load limit", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    STRETCH_SHARE = "epsilon", "epsilon", "ε", "stretch at that load as a share", NONE, PERCENT, PERCENT, Significant(2);
    STRAP_LENGTH = "L_s", "L_\"strap\"", "L_strap", "length of the strap", LENGTH, METRE, FOOT, Significant(2);
    STIFFNESS = "k_s", "k", "k", "stiffness of the strap", STIFFNESS, KILONEWTON_PER_METRE, POUND_FORCE_PER_FOOT, Significant(3);
    TUG_MASS = "m_t", "m_\"tug\"", "m_tug", "mass of the pulling vehicle", MASS, KILOGRAM, POUND, Significant(3);
    TUG_SPEED = "v_t", "v", "v", "speed when the strap comes tight", SPEED, KM_PER_HOUR, MILE_PER_HOUR, Significant(2);
    SNATCH_PEAK = "F_p", "F_\"peak\"", "F_peak", "peak force in the strap", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    TRACTION = "F_t", "F_\"drive\"", "F_drive", "driving force held on", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    SNATCH_DRIVEN = "F_d", "F_\"driven\"", "F_driven", "peak force with the drive held on", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    ANCHOR_HOLD = "H_a", "H", "H", "force the braked vehicle holds", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    HELD = "F_h", "F_\"hold\"", "F_hold", "force that holds it on the line", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    SUDDEN = "F_2", "F_\"at once\"", "F_at_once", "force when the brake is let off at once", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    BRAKE_HOLDS = "F_bh", "F_\"brakes\"", "F_brakes", "force the foot brake can hold", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    LOWEST_ROLLING = "f_0", "f_\"low\"", "f_low", "rolling resistance coefficient at its lowest", NONE, ONE, ONE, Significant(2);
    PULLS_AWAY = "a_t", "a_\"tow\"", "a_tow", "how fast the tug pulls away", ACCELERATION, METRE_PER_SECOND_2, METRE_PER_SECOND_2, Significant(2);
    TOW_START = "F_st", "F_\"start\"", "F_start", "force that sets it moving", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    POINT_LIMIT = "F_0", "F_\"label\"", "F_label", "limit of the recovery point in line", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    SIDE_SHARE = "s_q", "s", "s", "share that a side load leaves", NONE, PERCENT, PERCENT, Significant(2);
    SIDE_LIMIT = "F_q", "F_\"side\"", "F_side", "what the point may carry sideways", FORCE, KILONEWTON, POUND_FORCE, Significant(3);
    RIGGED_LENGTH = "L_r", "L_\"line\"", "L_line", "whole length of the rigged line", LENGTH, METRE, FOOT, Significant(3);
    CLEAR_DISTANCE = "d_c", "d_\"clear\"", "d_clear", "distance people keep", LENGTH, METRE, FOOT, Significant(3);
}
