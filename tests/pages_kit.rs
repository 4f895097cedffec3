//! A control is no better than the kit it stands on: what the pages count on stands in the kit list, or is printed as
//! missing beside the control and on the plan.

use slopepack::course::KitKind;

use crate::pages::{Pack, examples};

fn text(pack: &Pack, name: &str) -> String {
    let sheets = pack.papers.iter().filter(|paper| paper.name == name).flat_map(|paper| &paper.sheets);
    let pieces = sheets.flat_map(|sheet| &sheet.pieces).filter(|piece| !piece.artifact);
    let words: Vec<&str> = pieces.flat_map(|piece| piece.text.split_whitespace()).collect();
    words.join(" ")
}

/// What controls name, and the kind it is.
const NAMED: [(&str, KitKind); 9] = [
    ("throw line", KitKind::ThrowLine),
    ("bright vests", KitKind::Vest),
    ("class behind its rope", KitKind::Barrier),
    ("tape and a sign", KitKind::Barrier),
    ("or pegs that keep", KitKind::Pegs),
    ("damper on the line", KitKind::Damper),
    ("extinguisher at the brow and at the foot", KitKind::Extinguisher),
    ("gloves", KitKind::Gloves),
    ("stones raked off", KitKind::Rake),
];

#[test]
fn every_control_that_names_kit_has_it_or_says_that_it_is_missing() {
    let (mut there, mut lacking) = (0, 0);
    for pack in examples() {
        let (risk, plan) = (text(pack, "risk-assessment"), text(pack, "course-plan"));
        for (word, kind) in NAMED {
            let in_kit = pack.course.kit.iter().any(|item| item.kind == kind);
            for (at, _) in risk.match_indices(word) {
                let after: String = risk[at..].chars().take(170).collect();
                // Up to the next control of the row.
                let own = ["Remove:", "Replace:", "Build:", "Rule:", "Wear:"]
                    .iter()
                    .filter_map(|level| after.find(level))
                    .min()
                    .map_or(after.as_str(), |end| &after[..end]);
                let said = own.contains("missing:") || risk[..at].ends_with("missing: ");
                assert!(in_kit || said, "{}: {after}", pack.course.title.full());
                if in_kit {
                    there += 1;
                } else {
                    lacking += 1;
                    assert!(plan.contains("the kit list does not have"), "the plan says it as well");
                }
            }
        }
    }
    assert!(there > 10 && lacking > 3, "{there} there, {lacking} missing");
}

#[test]
fn where_there_is_water_there_is_a_drill_for_a_vehicle_in_it() {
    let (mut wet, mut dry) = (0, 0);
    for pack in examples() {
        let (wrong, risk) = (text(pack, "when-it-goes-wrong"), text(pack, "risk-assessment"));
        let drill = wrong.contains("It is in the water");
        assert_eq!(drill, pack.course.has_water(), "{}", pack.course.title.full());
        if drill {
            wet += 1;
            for told in ["belts off, windows open", "Never go in after it", "Throw line from firm ground"] {
                assert!(wrong.contains(told), "{told}");
            }
            assert!(
                risk.contains("nobody goes in after a vehicle") && !risk.contains("goes in alone"),
                "{risk}"
            );
        } else {
            dry += 1;
            assert!(!risk.contains("throw line"), "no water, no line to throw");
        }
    }
    assert!(wet > 0 && dry > 0, "{wet} with water, {dry} without");
}

#[test]
fn heavy_bleeding_comes_before_the_call() {
    for pack in examples() {
        let plan = text(pack, "radio-plan");
        let at = |what: &str| plan.find(what).unwrap_or_else(|| panic!("{what} on the emergency plan"));
        assert!(at("Look for danger") < at("Heavy bleeding: press hard on it, keep pressing"));
        assert!(at("Heavy bleeding") < at("One person calls"));
    }
}
