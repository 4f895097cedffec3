//! One number, one value: a limit that is broken gives the figure its descent came to, a mark the figures of the way
//! it is given for, and the spreadsheet those of the machine's list.

use serde_json::Value;
use slopepack::engine::{Corner, Reckoning, Told, What, reckon};

use crate::program::Bench;

const COURSES: [&str; 2] = ["quarry-day.yaml", "hill-club-weekend.yaml"];

fn worked(name: &str) -> Reckoning {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name);
    reckon(&slopepack::course::read_text(&std::fs::read_to_string(path).unwrap()).unwrap())
}

/// The figure of a descent that a kind of limit is about, at a corner; none for limits about the ground.
fn figure(told: &Told, what: What, corner: Corner) -> Option<f64> {
    let descent = &told.descent;
    let run = if corner == Corner::DRAGGED { descent.dragged.as_ref()? } else { &descent.unfavourable };
    match what {
        What::Speed => Some(run.top_speed),
        What::EngineSpeed => run.top_spin,
        What::GripInHand => run.grip_share().map(|share| 1.0 - share),
        What::BrakeHeat => told.heat.as_ref().map(|heat| heat.hottest),
        What::RunOut => told.stop.map(|stop| stop.distance.unwrap_or(f64::INFINITY)),
        _ => None,
    }
}

fn same(a: f64, b: f64) -> bool {
    a.to_bits() == b.to_bits()
}

#[test]
fn a_broken_limit_gives_the_figure_its_descent_came_to() {
    let mut seen = Vec::new();
    for pair in COURSES.iter().flat_map(|name| worked(name).pairs) {
        for told in &pair.ways {
            for one in &told.verdict.broken {
                let Some(is) = figure(told, one.what, one.corner) else { continue };
                assert!(same(one.value, is), "{} {}: {one:?}, {is}", pair.slope, pair.vehicle);
                seen.push(one.what);
            }
        }
        let judged = &pair.judged;
        let told = pair
            .ways
            .iter()
            .find(|told| Some(told.descent.way) == judged.way && told.descent.gear == judged.gear);
        let Some(told) = told else { continue };
        assert_eq!(judged.top_speed, told.descent.top_speed);
        assert_eq!(judged.foot_speed, told.descent.foot_speed);
        assert_eq!(judged.stop, told.stop.and_then(|stop| stop.distance));
    }
    for what in [What::Speed, What::EngineSpeed, What::GripInHand] {
        assert!(seen.contains(&what), "no {what:?} among {}", seen.len());
    }
}

/// Columns of the spreadsheet and where the machine's list has the same.
const COLUMNS: [(&str, &str); 15] = [
    ("top_speed_low_m_s", "/top_speed/low"),
    ("top_speed_likely_m_s", "/top_speed/likely"),
    ("top_speed_high_m_s", "/top_speed/high"),
    ("foot_speed_likely_m_s", "/foot_speed/likely"),
    ("distance_likely_m", "/distance/likely"),
    ("time_likely_s", "/time/likely"),
    ("top_spin_likely_rev_s", "/top_spin/likely"),
    ("slip_likely", "/likely/slip"),
    ("steering_share_likely", "/likely/steering"),
    ("abort_speed_m_s", "/verdict/abort_speed"),
    ("energy_brakes_J", "/likely/ledger/brakes"),
    ("energy_engine_J", "/likely/ledger/engine"),
    ("energy_air_J", "/likely/ledger/air"),
    ("energy_speed_J", "/likely/ledger/speed"),
    ("hottest_brake_K", "/heat/hottest"),
];

#[test]
fn the_spreadsheet_gives_the_figures_of_the_machines_list() {
    let bench = Bench::with_example("hill-club-weekend.yaml");
    let [list, table] = ["--json", "--csv"].map(|how| bench.run(&["reckon", how, "day.yaml"]).out);
    let list: Value = serde_json::from_str(&list).unwrap();
    let mut table = csv::Reader::from_reader(table.as_bytes());
    let heads = table.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    let descents = list["descents"].as_array().unwrap();
    assert_eq!(rows.len(), descents.len());
    let mut numbers = 0;
    for (row, descent) in rows.iter().zip(descents) {
        for (head, place) in COLUMNS {
            let written = &row[heads.iter().position(|known| known == head).unwrap()];
            let is = descent.pointer(place).and_then(Value::as_f64);
            assert_eq!(written.is_empty(), is.is_none(), "{head}: {row:?}");
            if let Some(is) = is {
                // Nine digits are written.
                let written: f64 = written.parse().unwrap();
                assert!((written - is).abs() <= 5.1e-9 * is.abs(), "{head}: {written} and {is}");
                numbers += 1;
            }
        }
    }
    assert!(numbers > 1000, "{numbers}");
}
