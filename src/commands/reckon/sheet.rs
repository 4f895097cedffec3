//! One descent a row, values in SI.

use crate::engine::{Reckoning, Spread};
use crate::problem::Failure;

const HEADS: [&str; 30] = [
    "slope",
    "vehicle",
    "way",
    "gear",
    "outcome",
    "likely_outcome",
    "within_limits",
    "mark",
    "mark_is_for_this_way",
    "reasons",
    "top_speed_low_m_s",
    "top_speed_likely_m_s",
    "top_speed_high_m_s",
    "near_speed_m_s",
    "foot_speed_likely_m_s",
    "distance_likely_m",
    "time_likely_s",
    "top_spin_likely_rev_s",
    "slip_likely",
    "steering_share_likely",
    "abort_speed_m_s",
    "energy_height_J",
    "energy_ground_J",
    "energy_brakes_J",
    "energy_engine_J",
    "energy_driveline_J",
    "energy_rolling_J",
    "energy_air_J",
    "energy_speed_J",
    "hottest_brake_K",
];

/// The table, a head line first.
pub(super) fn csv(reckoning: &Reckoning) -> Result<String, Failure> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let failed = |why: &dyn std::fmt::Display| Failure::Files(format!("cannot write the table: {why}"));
    writer.write_record(HEADS).map_err(|why| failed(&why))?;
    for record in reckoning.descents() {
        let (descent, verdict) = (&record.told.descent, &record.told.verdict);
        let (run, ledger) = (&descent.likely, &descent.likely.ledger);
        let reasons: Vec<String> = verdict.reasons.iter().map(ToString::to_string).collect();
        let optional = |value: Option<f64>| value.map(number).unwrap_or_default();
        let Spread { low, likely, high } = descent.top_speed;
        let row: [String; 30] = [
            record.slope.to_owned(),
            record.vehicle.to_owned(),
            descent.way.to_string(),
            descent.gear.map(|gear| gear.to_string()).unwrap_or_default(),
            descent.outcome.to_string(),
            descent.likely_outcome.to_string(),
            if verdict.within_limits { "yes" } else { "no" }.to_owned(),
            record.judged.mark.key().to_owned(),
            if record.decides() { "yes" } else { "no" }.to_owned(),
            reasons.join("; "),
            number(low),
            number(likely),
            number(high),
            optional(record.judged.near_speed.filter(|_| record.decides())),
            number(descent.foot_speed.likely),
            number(descent.distance.likely),
            number(descent.time.likely),
            optional(descent.top_spin.map(|spin| spin.likely)),
            number(run.slip),
            optional(run.steering),
            number(verdict.abort_speed),
            number(ledger.height),
            number(ledger.ground),
            number(ledger.brakes),
            number(ledger.engine),
            number(ledger.driveline),
            number(ledger.rolling),
            number(ledger.air),
            number(ledger.speed),
            optional(record.told.heat.as_ref().map(|heat| heat.hottest)),
        ];
        writer.write_record(row).map_err(|why| failed(&why))?;
    }
    let bytes = writer.into_inner().map_err(|why| failed(&why))?;
    String::from_utf8(bytes).map_err(|why| failed(&why))
}

/// Nine significant digits: more than is known, enough to check a sum.
fn number(value: f64) -> String {
    let rounded: f64 = format!("{value:.8e}").parse().expect("a formatted number reads back");
    format!("{rounded}")
}
