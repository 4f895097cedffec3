//! What is told of a drawn rung: the second means, how it goes down, how often it is set.

use crate::pack::recovery::words;
use crate::page::figure::Show;
use crate::recovery::ladder::lower::Lowering;
use crate::recovery::ladder::second::{Brake, Second};
use crate::recovery::ladder::tow::Tow;
use crate::recovery::pull::Stuck;
use crate::recovery::rig::Rig;

/// How fast it goes, what the brake takes, what line is left, on which layers.
pub(crate) fn lowering_words(told: &Lowering, show: Show) -> String {
    let speed = told.speed.zip(told.time).map_or_else(
        || "How fast the winch pays out is not told: try it first.".to_owned(),
        |(speed, time)| {
            format!(
                "Down at {} a minute, {} min on the line.",
                show.length(60.0 * speed, true).text(),
                words::minutes(time)
            )
        },
    );
    let layers = match told.layers {
        Some([first, last]) if first != last => format!("; drum layer {first} to {last}"),
        Some([first, _]) => format!("; drum layer {first} all the way"),
        None => String::new(),
    };
    format!(
        "{speed} Parts are chosen as if the foot brake, which can take {:.0} % of it at the lowest grip, took nothing. At the foot {} of line left{layers}.",
        libm::floor(100.0 * told.brake_share),
        show.length(libm::floor(told.line_left), false).text()
    )
}

/// How often it is set, where that is more than once.
pub(crate) fn setting(stages: u32, pulls: u32) -> Option<String> {
    let again = |pulls: u32| format!("Set {pulls} times: one haul of its line is shorter.");
    match (stages, pulls) {
        (1, 1) => None,
        (1, pulls) => Some(again(pulls)),
        (stages, 1) => Some(format!("In {stages} stages, the anchor set anew for each.")),
        (stages, pulls) => {
            Some(format!("In {stages} stages, the anchor set anew for each. {}", again(pulls)))
        }
    }
}

/// What stops it were the line or its anchor to let go.
pub(crate) fn second_words(second: &Second, stuck: Stuck, catch: Option<&Rig>, show: Show) -> String {
    match (second, stuck) {
        (Second::FootBrake(brake), _) => format!(
            "Second means: the driver’s foot, on the brake the whole way. At the lowest grip it holds {}, the vehicle pulls {} down{}. First, line slack, engine running: on the foot brake alone it must stand. If it does not, none of this.",
            words::about(brake.holds, show).text(),
            words::about(brake.pulls, show).text(),
            runs(brake, show),
        ),
        (Second::CatchLine { load }, _) => format!(
            "Second means: a catch line, {}, on its own anchor and its own point, chosen for {}. It moves with the first and is never slack.",
            catch.map_or_else(String::new, |rig| words::sentence(&words::winch_of(rig))),
            words::about(*load, show).text(),
        ),
        (Second::NobodyAboard, Stuck::Mired(_)) => {
            "Nobody aboard until it is out and chocked: its foot brake would not hold it here.".to_owned()
        }
        (Second::NobodyAboard, _) => {
            "Nobody aboard: wheels that do not turn neither steer nor brake. Chocks follow from the side only when it stands.".to_owned()
        }
    }
}

fn runs(brake: &Brake, show: Show) -> String {
    brake.runs.map_or_else(String::new, |runs| {
        format!(
            ": if the line lets go it stands again within {}",
            show.length(libm::ceil(runs), false).text()
        )
    })
}

/// How a tow is driven: who is in what, and what keeps the towed vehicle off the tug.
pub(crate) fn tow_words(tow: &Tow, tug: &str, mark: &str, show: Show) -> String {
    let length = show.length(tow.line, false).text();
    if tow.rigid {
        format!(
            "{tug} in front on a rigid bar of {length}, lowest gear, walking pace: {tug}’s engine and foot brake hold both. In {mark} a driver, belted, steers: key turned so that the steering does not lock, engine off means no servo, its brake is not counted on. {mark} stays chocked until the bar is pinned and clipped; chocks come off from the side."
        )
    } else {
        format!(
            "{tug} in front, {length} of line, walking pace: the ground holds {mark} back, so it does not run into {tug}. In {mark} a driver, belted, keeps the line tight with the foot brake: key turned so that the steering does not lock; engine off means no servo."
        )
    }
}
