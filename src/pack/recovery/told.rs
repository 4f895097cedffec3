//! What is told of a drawn rung: the second means, how it goes down, how often it is set.

use crate::pack::recovery::words;
use crate::page::figure::Show;
use crate::recovery::ladder::lower::Lowering;
use crate::recovery::ladder::second::{Brake, Second};
use crate::recovery::ladder::tow::Tow;
use crate::recovery::pull::Stuck;
use crate::recovery::rig::Rig;
use crate::recovery::stance::LANE;

/// How fast it goes, what the brake takes, what line is left, on which layers.
pub(crate) fn lowering_words(told: &Lowering, show: Show) -> String {
    let speed = told.speed.zip(told.time).map_or_else(
        || "How fast the winch pays out is not told: try it first.".to_owned(),
        |(speed, time)| {
            format!(
                "Down at {} a minute, {} min.",
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
    // A brake that takes all of it is the second means, told beside it.
    let brake = if told.brake_share < 1.0 {
        format!(
            " Its foot brake can take {:.0} % of it at the lowest grip, counted as nothing.",
            libm::floor(100.0 * told.brake_share)
        )
    } else {
        String::new()
    };
    format!(
        "{speed}{brake} At the foot {} of line left{layers}.",
        show.length(libm::floor(told.line_left), false).text()
    )
}

/// What holds it while a line is set anew.
const fn holds(stuck: Stuck) -> &'static str {
    match stuck {
        Stuck::Rolls => "the driver’s foot brake, then chocks from the side",
        Stuck::Locked => "its locked wheels, then chocks from the side",
        Stuck::Mired(_) => "the ground, and chocks from the side,",
        Stuck::Overturned => "the other line",
    }
}

/// What else holds of a rig that is drawn for a vehicle with a driver in it and planned for one with nobody aboard
/// too, or the other way round: who is inside, what holds it meanwhile, the abort. None where all sit alike.
pub(crate) fn sits_otherwise(aboard: bool, set_anew: bool, others: &[Stuck]) -> Option<String> {
    let mut kinds: Vec<&str> = others.iter().map(|stuck| stuck.short()).collect();
    kinds.dedup();
    let (kinds, first) = (kinds.join(", "), others.first()?);
    let meanwhile =
        if set_anew { format!(" Between two settings {} hold it.", holds(*first)) } else { String::new() };
    Some(if aboard {
        format!(
            "Where the row says nobody aboard ({kinds}): inside it only the winch’s operator.{meanwhile} STOP: hold the line, nobody moves; one, sent from the side, chocks it once it stands; only then slack."
        )
    } else {
        format!(
            "Where the row says driver’s foot ({kinds}): the driver sits in it too, foot over the brake and off it while the line pulls.{meanwhile} STOP: hold the line, foot brake on, chock from the side; only then slack."
        )
    })
}

/// Where the anchors of two stages are: a name, where it is tested where it stands; which way; how far up or down the
/// track from the stuck vehicle the first must stand, so that line and hauls reach.
pub(crate) struct TwoAnchors<'a> {
    pub tested: Option<&'a str>,
    pub up: bool,
    pub first: [String; 2],
}

impl TwoAnchors<'_> {
    fn words(&self) -> String {
        let way = if self.up { "up" } else { "down" };
        let last = if self.up { "brow" } else { "foot" };
        let [least, most] = &self.first;
        let (first, next) = self.tested.map_or_else(
            || ("an anchor".to_owned(), "one".to_owned()),
            |name| (format!("the “{name}” half-way"), "the one".to_owned()),
        );
        format!(
            "In two stages: first to {first}, then to {next} at the {last}; winch and line are carried there and every connection made and looked at anew. The first must stand {least} to {most} {way} the track from the vehicle: measure it; else not this rig."
        )
    }
}

/// How often it is set, where that is more than once.
pub(crate) fn setting(stages: Option<&TwoAnchors>, pulls: u32, stuck: Stuck) -> Option<String> {
    let holds = holds(stuck);
    let held = format!(
        "Meanwhile {holds} hold it: reckoned to hold at the lowest grip; the line stays tight until the chocks bear, and nobody is below."
    );
    let again = |pulls: u32| format!("Set {pulls} times: one haul of its line is shorter. {held}");
    match (stages, pulls) {
        (None, 1) => None,
        (None, pulls) => Some(again(pulls)),
        (Some(anchors), 1) => Some(format!("{} {held}", anchors.words())),
        (Some(anchors), pulls) => Some(format!("{} {}", anchors.words(), again(pulls))),
    }
}

/// What stops it were the line or its anchor to let go.
///
/// `let_down`: the foot stays on the brake while the line pays out; a line that pulls would pull against it.
pub(crate) fn second_words(
    second: &Second,
    (stuck, let_down): (Stuck, bool),
    catch: Option<&Rig>,
    show: Show,
) -> String {
    match (second, stuck) {
        (Second::FootBrake(brake), _) => format!(
            "Second means: the driver’s foot, {}: holds {} at the lowest grip, {} wanted{}.",
            if let_down {
                "on the brake the whole way"
            } else {
                "over the brake and off it while the line pulls, hard on it at STOP or a slack line"
            },
            words::about(brake.holds, show).text(),
            words::about(brake.pulls, show).text(),
            runs(brake, show),
        ),
        (Second::CatchLine { load }, _) => format!(
            "{}Second means: a catch line, {}, own anchor, own point, chosen for {}. It moves with the first, never slack. Made fast {} apart, no wider: measure it.",
            if stuck == Stuck::Locked { "Nobody aboard: wheels that do not turn do not steer. " } else { "" },
            catch.map_or_else(String::new, words::winch_of),
            words::about(*load, show).text(),
            show.length(LANE, false).text(),
        ),
        (Second::NobodyAboard(brake), _) => format!(
            "Nobody aboard: wheels that do not turn do not steer. Second means: those wheels, which hold {} at the lowest grip, {} wanted. Chocks only once it stands.",
            words::about(brake.holds, show).text(),
            words::about(brake.pulls, show).text(),
        ),
    }
}

fn runs(brake: &Brake, show: Show) -> String {
    brake.runs.map_or_else(String::new, |runs| {
        format!(
            "; if the line lets go it stands again within {}",
            show.length(libm::ceil(runs), false).text()
        )
    })
}

/// How a tow is driven: who sits in what, what works there, and what keeps the towed vehicle off the tug.
pub(crate) fn tow_words(tow: &Tow, tug: &str, mark: &str, show: Show) -> String {
    let length = show.length(tow.line, false).text();
    let stopped =
        "First: traffic on the track stopped at both ends, a marshal at each, until the leader frees it.";
    let seat = format!(
        "One driver sits in {mark}, belted, and steers. Its engine runs if it can, out of gear: brake and steering have their servo. If it does not run: key turned, or the steering locks; steering heavy; the foot brake without servo, hard, for one stop: not counted on."
    );
    let middle = if tow.off > 0.0 {
        " Use the points nearest the middle, both on the same side; set for the worst, left to right."
    } else {
        ""
    };
    let runs = if tow.rigid {
        format!(
            "{tug} in front, its driver alone in it, on a rigid bar of {length}, lowest gear, walking pace: {tug}’s engine and foot brake hold both. {mark} stays chocked until the bar is pinned and clipped and both drivers have a foot on the brake; then one person draws the chocks from the side and leaves. No learner at either wheel."
        )
    } else {
        format!(
            "{tug} in front, its driver alone in it, {length} of line, walking pace: the ground holds {mark} back, so it does not run into {tug}; {mark}’s driver keeps the line tight with the foot brake."
        )
    };
    format!("{stopped} {runs}{middle} {seat}")
}
