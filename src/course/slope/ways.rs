//! Ways over a site: along its tracks and the ambulance's way in, from one place to another.

use pathfinding::prelude::dijkstra;

use super::edges::crosses;
use super::site::{AreaOfSite, LineOfSite, SiteLine, SitePlan, Spot, along_a_line, length_of};

/// Tracks that come this near to each other are joined, m, where spots are read more finely than that. Judgement.
const JOINED: f64 = 8.0;
/// A metre off the tracks counts as so many on them when ways are compared: it is walked, over rough ground. Judgement.
const ON_FOOT: f64 = 3.0;
/// A way that ends this near to the place, m, is taken before any that leaves more to be walked. Judgement.
const NEAR: f64 = 30.0;

/// How far from the corner of what nobody crosses somebody walks round it, m: judgement.
const ASIDE: f64 = 2.0;
/// Further than this nobody walks round with a stretcher, m: the plan says that no track leads there. Judgement.
const MOST_ROUND: f64 = 150.0;

/// What goes before the length of a way counts so many times. Larger than any site is long.
const BEFORE_ALL: f64 = 1e6;

/// The shortest way along the tracks.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteWay {
    /// Along tracks, m on the plan.
    pub along: f64,
    /// From the last track to the place as it is walked, m on the plan.
    pub off: f64,
    /// Whether that leads round something nobody crosses.
    pub round: bool,
    /// The tracks in the order in which they are taken, by their place among the plan's lines.
    pub lines: Vec<usize>,
}

/// A spot on a track: which line, and how far along it.
#[derive(Clone, Copy, Debug)]
struct Node {
    line: usize,
    along: f64,
}

impl SitePlan {
    /// The shortest way along tracks and the ambulance's way from one spot to another; none where no tracks are drawn,
    /// or none lead there.
    pub fn way(&self, from: Spot, to: Spot) -> Option<SiteWay> {
        self.net(from, to).shortest(|_| 0.0)
    }

    /// The same, but before all a way that ends within 30 m of the place, where one does: nobody is sent up a slope to
    /// its brow.
    pub fn way_to_the_top(&self, from: Spot, to: Spot) -> Option<SiteWay> {
        self.net(from, to).shortest(|off| (off - NEAR).max(0.0))
    }

    fn net(&self, from: Spot, to: Spot) -> Net {
        let drivable = |line: &SiteLine| matches!(line.kind, LineOfSite::Track | LineOfSite::AmbulanceWay);
        let tracks: Vec<usize> = (0..self.lines.len()).filter(|at| drivable(&self.lines[*at])).collect();
        Net::of(self, &tracks, [from, to])
    }

    /// Whether somebody can walk straight from one spot to another: over no edge, through no water, through no ground
    /// where nobody goes.
    fn walked(&self, from: Spot, to: Spot) -> bool {
        let edges = self.lines.iter().filter(|line| matches!(line.kind, LineOfSite::Edge { .. }));
        let areas =
            self.areas.iter().filter(|area| matches!(area.kind, AreaOfSite::KeepOut | AreaOfSite::Water));
        let mut sides = edges.flat_map(|line| line.line.windows(2).map(|pair| [pair[0], pair[1]])).chain(
            areas.flat_map(|area| {
                let next = area.corners.iter().cycle().skip(1);
                area.corners.iter().zip(next).map(|(a, b)| [*a, *b])
            }),
        );
        !sides.any(|side| crosses([from, to], side))
    }

    /// How far it is on foot from one spot to another, m, and whether that leads round something; none where nothing does.
    fn on_foot(&self, from: Spot, to: Spot) -> Option<(f64, bool)> {
        if self.walked(from, to) {
            return Some((from.to(to), false));
        }
        let mut spots = vec![from, to];
        spots.extend(self.corners_to_walk_round());
        let next = |at: &usize| {
            let here = spots[*at];
            let seen = spots.iter().enumerate().filter(move |(_, there)| here.to(**there) > 0.0);
            let seen = seen.filter(|(_, there)| self.walked(here, **there));
            seen.map(|(to, there)| (to, millimetres(here.to(*there)))).collect::<Vec<_>>()
        };
        let (_, long) = dijkstra(&0, next, |at| *at == 1)?;
        (metres(long) <= MOST_ROUND).then(|| (metres(long), true))
    }

    /// Spots a step outside the corners of areas that nobody crosses. Not beyond the ends of edges: nobody knows that a face
    /// ends where its line does.
    fn corners_to_walk_round(&self) -> Vec<Spot> {
        let aside = |corner: Spot, from: Spot| {
            let long = from.to(corner).max(1e-6);
            from.towards(corner, (long + ASIDE) / long)
        };
        let areas =
            self.areas.iter().filter(|area| matches!(area.kind, AreaOfSite::KeepOut | AreaOfSite::Water));
        let round = areas.flat_map(|area| {
            #[expect(clippy::cast_precision_loss, reason = "a few corners")]
            let count = area.corners.len().max(1) as f64;
            let sum = |of: fn(&Spot) -> f64| area.corners.iter().map(of).sum::<f64>() / count;
            let middle = Spot { east: sum(|spot| spot.east), north: sum(|spot| spot.north) };
            area.corners.iter().map(move |corner| aside(*corner, middle)).collect::<Vec<_>>()
        });
        round.collect()
    }

    fn joined_within(&self) -> f64 {
        JOINED.max(2.0 * self.accurate_to.si())
    }
}

/// The tracks with the spots where they meet, where the way begins and where it may end.
struct Net {
    nodes: Vec<Node>,
    /// From node to node, m.
    links: Vec<(usize, usize, f64)>,
    /// Where the way can begin and end: the node, and how far off it the place lies, m.
    begins: Vec<(usize, f64)>,
    ends: Vec<(usize, f64, bool)>,
}

impl Net {
    fn of(plan: &SitePlan, tracks: &[usize], [from, to]: [Spot; 2]) -> Self {
        let mut net = Self { nodes: Vec::new(), links: Vec::new(), begins: Vec::new(), ends: Vec::new() };
        for &line in tracks {
            for (place, from_there) in [(from, true), (to, false)] {
                let Some(beside) = along_a_line(&plan.lines[line].line, place) else { continue };
                let along = beside.along.max(0.0);
                let Some(there) = spot_along(&plan.lines[line].line, along) else { continue };
                // Where the ambulance is met lies beside a track, or the plan leads nowhere from there.
                if from_there {
                    if beside.off <= NEAR && plan.walked(there, place) {
                        let node = net.node(line, along);
                        net.begins.push((node, beside.off));
                    }
                } else if let Some((off, round)) = plan.on_foot(there, place) {
                    let node = net.node(line, along);
                    net.ends.push((node, off, round));
                }
            }
            for other in tracks.iter().copied().filter(|other| *other != line) {
                net.join(plan, line, other);
            }
        }
        net.along_each(tracks);
        net
    }

    fn node(&mut self, line: usize, along: f64) -> usize {
        self.nodes.push(Node { line, along });
        self.nodes.len() - 1
    }

    /// Joins a line to another wherever one of its bends or ends comes near enough.
    fn join(&mut self, plan: &SitePlan, line: usize, other: usize) {
        let bends = &plan.lines[line].line;
        for at in 0..bends.len() {
            let Some(beside) = along_a_line(&plan.lines[other].line, bends[at]) else { continue };
            if beside.off <= plan.joined_within() {
                let here = self.node(line, length_of(&bends[..=at]));
                let there = self.node(other, beside.along.max(0.0));
                self.links.push((here, there, beside.off));
            }
        }
    }

    /// Links the nodes of each line with the next ones along it.
    fn along_each(&mut self, tracks: &[usize]) {
        for &line in tracks {
            let mut here: Vec<usize> =
                (0..self.nodes.len()).filter(|at| self.nodes[*at].line == line).collect();
            here.sort_by(|a, b| self.nodes[*a].along.total_cmp(&self.nodes[*b].along));
            for pair in here.windows(2) {
                let long = self.nodes[pair[1]].along - self.nodes[pair[0]].along;
                self.links.push((pair[0], pair[1], long));
            }
        }
    }

    /// The way that is shortest with what is walked at its ends.
    /// `far`: what goes before that, of how much is walked at the end, m.
    fn shortest(&self, far: impl Fn(f64) -> f64) -> Option<SiteWay> {
        // Two more: the place where it begins and the one where it ends.
        let (start, goal) = (self.nodes.len(), self.nodes.len() + 1);
        let mut from: Vec<Vec<(usize, u64)>> = vec![Vec::new(); goal + 1];
        for &(a, b, long) in &self.links {
            from[a].push((b, millimetres(long)));
            from[b].push((a, millimetres(long)));
        }
        for &(node, off) in &self.begins {
            from[start].push((node, millimetres(ON_FOOT * off)));
        }
        for &(node, off, _) in &self.ends {
            from[node].push((goal, millimetres(ON_FOOT * off + BEFORE_ALL * far(off))));
        }
        let (path, _) = dijkstra(&start, |at| from[*at].iter().copied(), |at| *at == goal)?;
        self.told(&from, path.get(1..path.len() - 1)?)
    }

    fn told(&self, from: &[Vec<(usize, u64)>], path: &[usize]) -> Option<SiteWay> {
        let last = path.last()?;
        let step = |pair: &[usize]| {
            let links = from[pair[0]].iter().filter(|(to, _)| *to == pair[1]);
            links.map(|(_, long)| *long).min().unwrap_or(0)
        };
        let mut lines: Vec<usize> = path.iter().map(|at| self.nodes[*at].line).collect();
        lines.dedup();
        let (_, off, round) = *self.ends.iter().find(|(node, ..)| node == last)?;
        Some(SiteWay { along: path.windows(2).map(step).map(metres).sum(), off, round, lines })
    }
}

/// Lengths that the search adds up are whole.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a length of a site is no longer"
)]
fn millimetres(long: f64) -> u64 {
    libm::round(1e3 * long.max(0.0)) as u64
}

#[expect(clippy::cast_precision_loss, reason = "a length of a site is no longer")]
fn metres(long: u64) -> f64 {
    long as f64 / 1e3
}

/// The spot so far along a line, m; its last one beyond the end.
fn spot_along(line: &[Spot], along: f64) -> Option<Spot> {
    let mut left = along;
    for pair in line.windows(2) {
        let long = pair[0].to(pair[1]);
        if left <= long && long > 0.0 {
            return Some(pair[0].towards(pair[1], left / long));
        }
        left -= long;
    }
    line.last().copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::{North, Origin, SiteArea};
    use crate::quantity::Length;

    fn at(east: f64, north: f64) -> Spot {
        Spot { east, north }
    }

    fn track(line: &[(f64, f64)]) -> SiteLine {
        let line = line.iter().map(|(east, north)| at(*east, *north)).collect();
        SiteLine { kind: LineOfSite::Track, line, name: None }
    }

    fn plan(lines: Vec<SiteLine>, areas: Vec<SiteArea>) -> SitePlan {
        SitePlan {
            origin: Origin::default(),
            north: Some(North::Grid),
            accurate_to: Length::new(1.0),
            slopes: Vec::new(),
            points: Vec::new(),
            lines,
            areas,
        }
    }

    #[test]
    fn a_way_follows_the_tracks_and_is_walked_at_its_end() {
        let plan =
            plan(vec![track(&[(0.0, 0.0), (100.0, 0.0)]), track(&[(100.0, 3.0), (100.0, 60.0)])], Vec::new());
        let way = plan.way(at(0.0, 0.0), at(112.0, 60.0)).expect("the tracks meet");
        assert_eq!(way.lines, [0, 1]);
        // A hundred along the first, three across, and the second one's own 57.
        assert!((way.along - 160.0).abs() < 1e-9, "{way:?}");
        assert!((way.off - 12.0).abs() < 1e-9, "{way:?}");
    }

    #[test]
    fn tracks_that_do_not_meet_lead_nowhere() {
        let lines = vec![track(&[(0.0, 0.0), (10.0, 0.0)]), track(&[(300.0, 0.0), (400.0, 0.0)])];
        let way = plan(lines, Vec::new())
            .way(at(0.0, 0.0), at(400.0, 0.0))
            .expect("walked from the first one's end");
        assert_eq!(way.lines, [0]);
        assert!((way.off - 390.0).abs() < 1e-9);
        assert_eq!(plan(Vec::new(), Vec::new()).way(at(0.0, 0.0), at(1.0, 0.0)), None);
    }

    #[test]
    fn nobody_is_sent_through_water() {
        let pond = SiteArea {
            kind: AreaOfSite::Water,
            corners: vec![at(-20.0, 10.0), at(120.0, 10.0), at(120.0, 20.0), at(-20.0, 20.0)],
            name: None,
        };
        // Straight across it is 30 m; round it 200 m of track.
        let round = track(&[(100.0, 0.0), (150.0, 0.0), (150.0, 30.0), (50.0, 30.0)]);
        let plan = plan(vec![track(&[(0.0, 0.0), (100.0, 0.0)]), round], vec![pond]);
        let way = plan.way(at(0.0, 0.0), at(50.0, 32.0)).expect("there is a way round");
        assert_eq!(way.lines, [0, 1]);
        assert!((way.along - 280.0).abs() < 1e-9, "{way:?}");
    }

    /// A hatched corner between the track and the foot leaves the way there: it is walked round.
    #[test]
    fn what_is_shut_is_walked_round() {
        let shut = SiteArea {
            kind: AreaOfSite::KeepOut,
            corners: vec![at(40.0, 10.0), at(60.0, 10.0), at(60.0, 14.0), at(40.0, 14.0)],
            name: None,
        };
        let plan = plan(vec![track(&[(0.0, 0.0), (100.0, 0.0)])], vec![shut]);
        let way = plan.way(at(0.0, 0.0), at(50.0, 24.0)).expect("round one of its corners");
        // By hand: a little over the 24 m straight across, by the nearer end.
        assert!(way.round && way.off > 24.5 && way.off < 40.0, "{way:?}");
        let free = plan.way(at(0.0, 0.0), at(90.0, 24.0)).expect("straight");
        assert!(!free.round && (free.off - 24.0).abs() < 1e-9, "{free:?}");
    }
}
