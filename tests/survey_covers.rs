//! The uncertainty a survey states covers the truth: slopes made by lot, measured with each instrument's own errors.

use slopepack::paper::Lot;
use slopepack::survey::{Found, INSTRUMENTS, Instrument, Measured, Survey, survey};

/// Slopes for each instrument.
const SLOPES: u64 = 1_000;
/// Share of stated intervals that must hold.
const SHARE: f64 = 0.95;

/// A slope as it truly is: level length and gradient of each stretch.
struct Truth {
    stretches: Vec<(f64, f64)>,
}

struct Errors<'a>(&'a mut Lot);

impl Errors<'_> {
    /// Between 0 and 1.
    fn share(&mut self) -> f64 {
        self.0.below(1 << 30) as f64 / f64::from(1 << 30)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.share() * (high - low)
    }

    /// As likely anywhere within a limit to either side.
    fn within(&mut self, limit: f64) -> f64 {
        self.between(-limit, limit)
    }
}

impl Truth {
    fn made(lot: &mut Errors) -> Self {
        let mut stretches: Vec<(f64, f64)> = Vec::new();
        for _ in 0..=lot.0.below(3) {
            let before = stretches.last().map_or(-1.0, |(_, gradient)| *gradient);
            let gradient = loop {
                let gradient = lot.between(4.0, 28.0).to_radians();
                if (gradient - before).abs() > 4_f64.to_radians() {
                    break gradient;
                }
            };
            stretches.push((lot.between(12.0, 30.0), gradient));
        }
        Self { stretches }
    }

    fn whole(&self) -> f64 {
        self.stretches.iter().map(|(level, _)| level).sum()
    }

    /// Height at a level distance from the brow, the brow's being 0.
    fn height(&self, at: f64) -> f64 {
        let (mut from, mut height) = (0.0, 0.0);
        for (level, gradient) in &self.stretches {
            height -= (at - from).clamp(0.0, *level) * gradient.tan();
            from += level;
        }
        height
    }

    /// Mean gradient between two places.
    fn gradient(&self, from: f64, to: f64) -> f64 {
        ((self.height(from) - self.height(to)) / (to - from)).atan()
    }

    /// Where its stretches meet.
    fn meets(&self) -> Vec<f64> {
        let ends = self.stretches.iter().scan(0.0, |at, (level, _)| {
            *at += level;
            Some(*at)
        });
        ends.take(self.stretches.len() - 1).collect()
    }

    /// Heights read from one stand at its upper end, each so far from the next.
    fn heights(&self, instrument: Instrument, spacing: f64, lot: &mut Errors) -> Measured {
        let (askew, stretched) = (lot.within(instrument.index), 1.0 + lot.within(instrument.distance));
        let count = (self.whole() / spacing) as usize;
        let memory = if instrument.lasts > 0.0 { (-1.0 / instrument.lasts).exp() } else { 0.0 };
        let mut slow = lot.within(instrument.height);
        let mut read = |at: f64, lot: &mut Errors| {
            let turned = at * (askew + lot.within(instrument.step / 2.0));
            slow = memory * slow + (1.0 - memory * memory).sqrt() * lot.within(instrument.height);
            // The staff stands beside its mark, and what it reads is the ground there.
            (at * stretched, self.height(at + lot.within(instrument.mark)) + turned + slow)
        };
        Measured::Heights((0..=count).map(|at| read(self.whole() * at as f64 / count as f64, lot)).collect())
    }

    /// Pieces of some metres between pegs that stand where the ground changes.
    fn pieces(&self, instrument: Instrument, lot: &mut Errors) -> Measured {
        let (askew, stretched) = (lot.within(instrument.index), 1.0 + lot.within(instrument.distance));
        let target = lot.within(instrument.target);
        let mut pieces = Vec::new();
        for (level, gradient) in &self.stretches {
            let count = 2 + lot.0.below(3);
            let length = level / gradient.cos() / count as f64;
            for _ in 0..count {
                let stepped = lot.within(instrument.stepped * (length / 100.0).sqrt() / length);
                let seen = gradient + askew + (target / length).atan() + stepped;
                let step = instrument.step.max(1e-9);
                pieces.push((length * stretched, (seen / step).round() * step));
            }
        }
        Measured::Pieces(pieces)
    }
}

/// How often what was stated held.
#[derive(Default)]
struct Held {
    gradients: (u32, u32),
    ends: (u32, u32),
    right_number: u32,
}

fn count(of: &mut (u32, u32), holds: bool) {
    of.0 += u32::from(holds);
    of.1 += 1;
}

impl Held {
    fn note(&mut self, truth: &Truth, found: &Survey) {
        let whole = found.ground.stretches.last().unwrap().to;
        let scale = truth.whole() / whole;
        for Found { from, to, gradient, sure } in &found.ground.stretches {
            let true_one = truth.gradient(from * scale, (to * scale).min(truth.whole()));
            count(&mut self.gradients, (gradient - true_one).abs() <= *sure);
        }
        let meets = truth.meets();
        if meets.len() != found.ground.bends.len() {
            return;
        }
        self.right_number += 1;
        if found.between {
            for (bend, meet) in found.ground.bends.iter().zip(meets) {
                count(&mut self.ends, bend.low <= meet / scale && meet / scale <= bend.high);
            }
            return;
        }
        // A peg stands where it stands along the ground, as far as the tape is right.
        for (found, (level, gradient)) in found.ground.stretches.iter().zip(&truth.stretches) {
            count(&mut self.ends, (found.length() - level / gradient.cos()).abs() <= 0.05);
        }
    }
}

fn shares((held, all): (u32, u32)) -> f64 {
    f64::from(held) / f64::from(all)
}

#[test]
fn what_is_stated_covers_the_truth_for_every_instrument() {
    let both = INSTRUMENTS.iter().filter(|one| one.index > 0.0).map(|one| one.both_ways());
    for (stream, instrument) in (0..).zip(INSTRUMENTS.iter().copied().chain(both)) {
        let mut held = Held::default();
        let mut lot = Lot::new(20_261_127, stream);
        let mut lot = Errors(&mut lot);
        // The same errors less the index: fewer show it.
        let slopes = if stream < INSTRUMENTS.len() as u64 { SLOPES } else { SLOPES / 4 };
        for _ in 0..slopes {
            let truth = Truth::made(&mut lot);
            let measured = if instrument.one_stand {
                let spacing = lot.between(1.2, 2.4);
                truth.heights(instrument, spacing, &mut lot)
            } else {
                truth.pieces(instrument, &mut lot)
            };
            held.note(&truth, &survey(&measured, instrument.read_every(1.0)));
        }
        let (gradients, ends) = (shares(held.gradients), shares(held.ends));
        let right = f64::from(held.right_number) / slopes as f64;
        println!("{}: gradients {gradients:.3}, ends {ends:.3}, right number {right:.3}", instrument.name);
        assert!(gradients >= SHARE, "{}: {gradients}", instrument.name);
        // A receiver's heights tell no stretches apart, and say so.
        if instrument.lasts > 0.0 {
            continue;
        }
        assert!(ends >= SHARE, "{}: {ends}", instrument.name);
        assert!(right >= 0.85, "{}: {right}", instrument.name);
    }
}
