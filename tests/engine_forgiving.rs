//! Near a limit is driven only where a failure is seen in time and ends harmlessly; elsewhere with the foot brake, or
//! not at all.

use slopepack::course::{Band, Course, Danger, DangerKind, Hand, NearRule, Slope, read};
use slopepack::engine::{Judgement, Mark, NotDriven, Outcome, Unforgiving, Way, What, reckon};
use slopepack::quantity::{Angle, Length, Share};

/// A shipped course, with its roster where it has one.
fn shipped(name: &str) -> Course {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("courses").join(name);
    read(&path).unwrap().course
}

fn quarry() -> Course {
    shipped("quarry-day.yaml")
}

/// What a pair of the quarry comes to after somebody changed its slope or its rules.
fn judged(slope: &str, vehicle: &str, change: impl FnOnce(&mut Course, usize)) -> Judgement {
    let mut course = quarry();
    let at = course.slopes.iter().position(|one| one.id == slope).unwrap();
    change(&mut course, at);
    reckon(&course).pair(slope, vehicle).unwrap().judged.clone()
}

fn has(slope: &Slope, kind: DangerKind) -> bool {
    slope.hazards.iter().any(|danger| danger.kind == Some(kind))
}

#[test]
fn no_pair_is_near_a_limit_where_failing_cannot_be_seen_or_survived() {
    let mut seen = [0; 2];
    for course in ["quarry-day.yaml", "hill-club-weekend.yaml", "six-slope-saturday.yaml"].map(shipped) {
        let rule = course.limits.near;
        for pair in reckon(&course).pairs {
            let slope = course.slopes.iter().find(|slope| slope.id == pair.slope).unwrap();
            let judged = &pair.judged;
            let of = format!("{} {}: {judged:?}", pair.slope, pair.vehicle);
            if judged.mark == Mark::Near {
                assert!(slope.steepest().gradient.si() < rule.gradient.si(), "{of}");
                assert!(slope.run_out.as_ref().unwrap().length.si() >= rule.run_out.si(), "{of}");
                assert!(!has(slope, DangerKind::Edge) && !has(slope, DangerKind::Water), "{of}");
                assert_eq!(judged.locked.unwrap().outcome, Outcome::StopsOnSlope, "{of}");
                let most = (1.0 + rule.speed.si()) * course.limits.descent_speed.si() + 1e-9;
                assert!(judged.near_speed.is_none_or(|speed| speed <= most), "{of}");
                assert!(judged.unforgiving.is_empty(), "{of}");
                seen[0] += 1;
            } else if !judged.unforgiving.is_empty() {
                assert!(matches!(judged.mark, Mark::WithBrake | Mark::Refused | Mark::NotJudged), "{of}");
                assert!(judged.near_speed.is_none(), "{of}");
                seen[1] += 1;
            }
        }
    }
    assert!(seen[0] > 10 && seen[1] > 20, "{seen:?}");
}

/// Where the ground forgives nothing, no other gear is offered near a limit beside the one that holds.
#[test]
fn no_gear_is_offered_near_a_limit_on_ground_that_does_not_forgive() {
    let mut seen = 0;
    for course in ["quarry-day.yaml", "hill-club-weekend.yaml", "six-slope-saturday.yaml"].map(shipped) {
        let rule = course.limits.near;
        for pair in reckon(&course).pairs {
            let slope = course.slopes.iter().find(|slope| slope.id == pair.slope).unwrap();
            let short = slope.run_out.as_ref().is_some_and(|run_out| run_out.length.si() < rule.run_out.si());
            let steep = slope.steepest().gradient.si() >= rule.gradient.si();
            let dropped = has(slope, DangerKind::Edge) || has(slope, DangerKind::Water);
            if !(steep || short || dropped) {
                continue;
            }
            let judged = &pair.judged;
            let of = format!("{} {}: {judged:?}", pair.slope, pair.vehicle);
            assert!(judged.gears.iter().all(|(_, mark)| *mark != Mark::Near), "{of}");
            assert!(!matches!(judged.next.map(|next| next.why), Some(NotDriven::Nearly(_))), "{of}");
            seen += usize::from(judged.mark == Mark::Within);
        }
    }
    assert!(seen > 5, "{seen}");
}

/// The nursery is near a limit for the short one: each way in which ground does not forgive takes that away.
#[test]
fn each_reason_takes_the_foot_over_the_brake_away() {
    let near = judged("nursery", "shorty", |_, _| ());
    assert_eq!((near.mark, near.way), (Mark::Near, Some(Way::Geared)), "{near:?}");
    let danger =
        |kind| Danger { what: quarry().slopes[0].hazards[0].what.clone(), kind: Some(kind), step: None };
    let cases: [(Unforgiving, Box<dyn FnOnce(&mut Course, usize)>); 5] = [
        (Unforgiving::Edge, Box::new(|course, at| course.slopes[at].hazards.push(danger(DangerKind::Edge)))),
        (
            Unforgiving::Water,
            Box::new(|course, at| course.slopes[at].hazards.push(danger(DangerKind::Water))),
        ),
        (
            Unforgiving::ShortRunOut,
            Box::new(|course, at| course.slopes[at].run_out.as_mut().unwrap().length = Length::new(19.9)),
        ),
        (
            Unforgiving::Steep,
            Box::new(|course, at| course.limits.near.gradient = course.slopes[at].steepest().gradient),
        ),
        (Unforgiving::TooFast, Box::new(|course, _| course.limits.near.speed = Share::new(0.01))),
    ];
    for (why, change) in cases {
        let there = judged("nursery", "shorty", change);
        assert_eq!(there.unforgiving, [why], "{there:?}");
        assert_eq!((there.mark, there.way), (Mark::WithBrake, Some(Way::Assisted)), "{there:?}");
        assert_eq!(there.gear, near.gear);
        let first = there.first().unwrap();
        assert_eq!((first.what, first.decides), (What::Speed, true), "{there:?}");
        assert!(first.tolerance.is_some(), "{there:?}");
    }
}

/// What the engine takes of the grip no brake mends: beside an edge nobody drives it.
#[test]
fn grip_that_a_tolerance_takes_beside_an_edge_is_no_run() {
    // A little more grip than the example's, so that only a tolerance takes it.
    let better = |course: &mut Course, at: usize| {
        let id = course.slopes[at].surface.clone();
        let mut surface = course.surface(&id).expect("the slope's own").clone();
        let [low, likely, high] = surface.peak.values().map(|value| value + 0.02);
        (surface.id, surface.peak) = ("better".to_owned(), Band::new(low, likely, high));
        course.slopes[at].surface.clone_from(&surface.id);
        course.surfaces.push(surface);
    };
    let ramp = judged("ramp", "wagon", better);
    assert_eq!(ramp.mark, Mark::Refused, "{ramp:?}");
    assert!(ramp.unforgiving.contains(&Unforgiving::Edge) && ramp.unforgiving.contains(&Unforgiving::Steep));
    assert!(ramp.broken().any(|one| one.what == What::GripInHand && one.tolerance.is_some()), "{ramp:?}");
    assert!(!ramp.measure.is_empty(), "{ramp:?}");
}

/// Ground that holds no locked wheel forgives nothing, however flat it is.
#[test]
fn ground_that_holds_no_locked_wheel_does_not_forgive() {
    let clay = judged("clay-slide", "shorty", |_, _| ());
    assert!(clay.unforgiving.contains(&Unforgiving::LockedSlides), "{clay:?}");
    assert!(matches!(clay.mark, Mark::WithBrake | Mark::Refused), "{clay:?}");
}

/// The course's own rule decides: one that asks nothing leaves it to the foot.
#[test]
fn a_course_may_draw_the_line_elsewhere() {
    let own = |course: &mut Course, at: usize| {
        course.limits.near.gradient = Angle::new(0.5);
        course.limits.near.run_out = Length::new(10.0);
        course.limits.near.speed = Share::new(1.0);
        course.slopes[at].hazards.clear();
    };
    assert_eq!(judged("old-incline", "wagon", own).mark, Mark::Near);
    assert_ne!(judged("old-incline", "wagon", |_, _| ()).mark, Mark::Near);
}

/// The quarry face on the site plan lies 4 m from the lane of the scree run: nothing typed says so.
#[test]
fn an_edge_of_the_site_plan_is_an_edge_of_the_slope_beside_it() {
    let beside = |change: &dyn Fn(&mut Course)| {
        let mut course = quarry();
        change(&mut course);
        let found = |id: &str| {
            let slope = course.slopes.iter().find(|slope| slope.id == id).unwrap();
            course.edges_beside(slope).iter().map(|edge| (edge.off, edge.hand)).collect::<Vec<_>>()
        };
        (found("scree-run"), found("ramp"), found("haul-road"))
    };
    let (scree, ramp, haul) = beside(&|_| ());
    // By hand: the end of the face 9 m east of the line, half of 9 m is the lane; it comes down to the south.
    assert_eq!(scree.len(), 1, "{scree:?}");
    assert!((scree[0].0 - 4.5).abs() < 1e-9 && scree[0].1 == Hand::Left, "{scree:?}");
    // The slope's own words tell of the drop at 0.5 m; the face ends 7.0 m from the middle of a lane of 6 m.
    assert_eq!(ramp.len(), 1, "{ramp:?}");
    assert!((ramp[0].0 - (49.0_f64.sqrt() - 3.0)).abs() < 0.1, "{ramp:?}");
    assert!(haul.is_empty(), "{haul:?}");
    let (scree, ..) = beside(&|course| course.limits.near.edge = Length::new(4.0));
    assert!(scree.is_empty(), "{scree:?}");
    // It counts: near a limit on the scree is then left to nobody's foot over the brake.
    let lenient = |course: &mut Course, _: usize| {
        course.limits.near = NearRule {
            gradient: Angle::new(1.0),
            run_out: Length::new(1.0),
            speed: Share::new(9.0),
            ..NearRule::default()
        };
    };
    let with = judged("scree-run", "wagon", lenient);
    let without = judged("scree-run", "wagon", |course, at| {
        lenient(course, at);
        course.site_plan = None;
    });
    assert!(with.unforgiving.contains(&Unforgiving::Edge), "{with:?}");
    assert!(!without.unforgiving.contains(&Unforgiving::Edge), "{without:?}");
}
