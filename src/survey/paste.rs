//! What a survey found, as it is pasted under a slope of a course, and in words.

use super::{FLAT, Found, Instrument, Survey};
use crate::course::capital;
use crate::quantity::{Digits, Length, Shown, Unit, UnitSystem, units};

/// Half of the widest 95 % interval of a gradient from which a verdict may be given, rad: the 1° that a course allows
/// for where a survey does not say how fine its instrument reads.
pub const WANTED: f64 = std::f64::consts::PI / 180.0;
/// Finest and coarsest step that a course takes, degrees.
const STEPS: (f64, f64) = (0.1, 5.0);
/// Steepest stretch of a course, rad.
const WALL: f64 = std::f64::consts::PI / 3.0;

/// A survey with what it was made with.
#[derive(Clone, Copy, Debug)]
pub struct Paste<'a> {
    /// What was found.
    pub survey: &'a Survey,
    /// With what.
    pub instrument: Instrument,
    /// The units lengths are written in.
    pub system: UnitSystem,
}

impl Paste<'_> {
    fn unit(&self) -> &'static Unit {
        match self.system {
            UnitSystem::Metric => &units::METRE,
            UnitSystem::Imperial => &units::FOOT,
        }
    }

    fn length(&self, si: f64) -> String {
        let unit = self.unit();
        unit.behind(&Shown::of(unit.from_si(si), Digits::Decimals(1)).text)
    }

    /// The keys of a slope: stretches, run-out, and the survey where it is fine enough for a verdict.
    ///
    /// # Errors
    /// The ground is none that a course can hold as one slope: why, and what to do.
    pub fn yaml(&self) -> Result<String, String> {
        let slope = self.survey.ground.slope();
        self.refused(slope)?;
        let head = "    stretches:                        # from the brow down, measured along the ground"
            .to_owned();
        let stretch = |found: &Found| {
            let keys =
                format!("{{length: {}, gradient: {}}}", self.length(found.length()), degrees(found.gradient));
            format!("      - {keys:<40} # ± {}", either_side(found.sure))
        };
        let run_out = self.run_out().map(|(length, gradient)| {
            let gradient = degrees(gradient).replace('−', "-");
            let keys = format!("run-out: {{length: {}, gradient: {gradient}}}", self.length(length));
            format!("    {keys:<44} # as far as the table goes; where the ground goes on, measure on")
        });
        let stretches = slope.iter().map(stretch);
        let lines: Vec<String> =
            self.before().into_iter().chain([head]).chain(stretches).chain(run_out).collect();
        Ok(format!("{}\n{}", lines.join("\n"), self.surveyed()))
    }

    /// Ground before the brow, as the key that says what a vehicle comes from; its mean where it bends.
    fn before(&self) -> Option<String> {
        let brow = self.survey.ground.slope().first()?.from;
        let above: Vec<&Found> =
            self.survey.ground.stretches.iter().filter(|found| found.to <= brow + 1e-9).collect();
        let fall: f64 = above.iter().map(|found| (found.to - found.from) * libm::tan(found.gradient)).sum();
        let gradient = (brow > 0.0).then(|| degrees(libm::atan2(fall, brow)))?.replace('−', "-");
        let keys = format!("brow: {{before: {gradient}}}");
        Some(format!("    {keys:<44} # over what length it bends: add rounded:"))
    }

    /// Ground after the foot, where it is as long as a course takes.
    fn run_out(&self) -> Option<(f64, f64)> {
        self.survey.ground.run_out().filter(|(length, _)| *length >= 0.5)
    }

    fn surveyed(&self) -> String {
        if self.survey.steeper.is_some() {
            return "    # no `survey`: a steeper piece is not shown by these stretches, see the note\n"
                .to_owned();
        }
        let sure = self.sure();
        if sure > WANTED {
            return format!("    # no `survey`: ± {} is too coarse for a verdict\n", either_side(sure));
        }
        let step = (libm::ceil(sure.to_degrees() * 10.0 - 1e-9) / 10.0).clamp(STEPS.0, STEPS.1);
        format!(
            "    survey: {{instrument: '{}', reads-to: {step:.1}°}}   # add by: and date:\n",
            self.instrument.words
        )
    }

    /// Half of the widest 95 % interval of a gradient, rad.
    pub fn sure(&self) -> f64 {
        self.survey.ground.slope().iter().map(|found| found.sure).fold(0.0, f64::max)
    }

    fn refused(&self, slope: &[Found]) -> Result<(), String> {
        let place =
            |found: &Found| format!("between {} and {}", self.length(found.from), self.length(found.to));
        if let Some(hump) = self.survey.ground.hump() {
            return Err(format!(
                "the ground rises {} {}: a slope of a course only falls; measure to the foot before the rise, and from \
                 its brow on as a slope of its own",
                degrees(-hump.gradient),
                place(hump)
            ));
        }
        if let Some(wall) = slope.iter().find(|found| found.gradient >= WALL) {
            return Err(format!(
                "{} {} is a wall, not a slope: look whether lengths are `along` the ground or `level`, and in which unit",
                degrees(wall.gradient),
                place(wall)
            ));
        }
        Ok(())
    }

    /// What a person should know: how it was found, how sure it is, and where the ground turns.
    pub fn notes(&self, over: Option<Length>) -> Vec<String> {
        let mut notes = vec![self.method()];
        notes.extend(self.flat());
        notes.extend(self.bends());
        notes.extend(self.turns());
        notes.extend(over.map(|over| self.steepest(over.si())));
        notes.extend(self.far());
        notes.extend(self.steeper());
        notes.extend(self.coarse());
        notes
    }

    fn method(&self) -> String {
        let survey = self.survey;
        let count = survey.ground.stretches.len();
        let level = count - survey.ground.slope().len();
        let level = match level {
            0 => String::new(),
            1 => ", one of them flat before the brow or after the foot".to_owned(),
            more => format!(", {more} of them flat before the brow or after the foot"),
        };
        let how = if survey.between {
            "a bent line of least squares through the heights"
        } else {
            "neighbouring pieces joined where they do not differ; stretches end where somebody measured"
        };
        let joined = if survey.joined > 1 {
            format!("; each {} rows were put together as one", survey.joined)
        } else {
            String::new()
        };
        let turned = if survey.turned {
            "; the rows rise from first to last, so they were taken from the foot up and turned round (write falls without \
             a minus where they were measured from the brow down)"
        } else {
            ""
        };
        let scatter = survey.ground.scatter;
        let scatter = if scatter > 1.5 {
            format!(
                "; the heights scatter {scatter:.1} times as much as the instrument should, and the ± is made wider by that"
            )
        } else {
            String::new()
        };
        format!(
            "{count} stretch{}{level}: {how}{joined}{turned}{scatter}. Every ± holds with 95 %, all together. {}: {}.",
            if count == 1 { "" } else { "es" },
            capital(self.instrument.words),
            crate::course::sources::cited(self.instrument.source)
        )
    }

    fn flat(&self) -> Option<String> {
        let slope = self.survey.ground.slope();
        let (first, last) = (slope.first()?, slope.last()?);
        let above =
            (first.from > 0.0).then(|| format!("the first {} lie above the brow", self.length(first.from)));
        let whole = self.survey.ground.stretches.last()?.to;
        let below =
            (whole > last.to + 1e-9).then(|| format!("what follows {} is the run-out", self.length(last.to)));
        let parts: Vec<String> = above.into_iter().chain(below).collect();
        (!parts.is_empty()).then(|| format!("Flatter than {}: {}.", degrees(FLAT), parts.join("; ")))
    }

    fn bends(&self) -> Option<String> {
        let bends = self.survey.ground.bends.iter().filter(|bend| bend.high > bend.low);
        let said: Vec<String> = bends
            .map(|bend| {
                format!("{} ({} to {})", self.length(bend.at), self.length(bend.low), self.length(bend.high))
            })
            .collect();
        (!said.is_empty())
            .then(|| format!("Stretches meet, level from the first point, at {}.", said.join(", ")))
    }

    fn turns(&self) -> Option<String> {
        let [crest, toe] = self.survey.ground.crest_and_toe();
        let said = |what: &str, turn: Option<(f64, f64, f64)>| {
            turn.map(|(at, before, after)| {
                format!("{what} at {}, from {} to {}", self.length(at), degrees(before), degrees(after))
            })
        };
        let parts: Vec<String> =
            said("sharpest crest", crest).into_iter().chain(said("sharpest toe", toe)).collect();
        (!parts.is_empty()).then(|| format!("{}.", capital(&parts.join("; "))))
    }

    fn steepest(&self, over: f64) -> String {
        match self.survey.ground.steepest_over(over) {
            Some((gradient, sure, from)) => format!(
                "Steepest over {}: {} ± {}, from {} below the brow.",
                self.length(over),
                degrees(gradient),
                either_side(sure),
                self.length(from)
            ),
            None => format!("The slope is shorter than {}.", self.length(over)),
        }
    }

    fn far(&self) -> Vec<String> {
        // A wrong reading draws the line towards itself, so its neighbours seem to lie off as well: the worst tells which.
        let worst = self.survey.ground.far.iter().map(|(_, off)| off.abs()).fold(0.0, f64::max);
        let far = self.survey.ground.far.iter().filter(|(_, off)| off.abs() > worst / 2.0);
        let far = far.map(|(at, off)| {
            let side = if *off > 0.0 { "above" } else { "below" };
            format!(
                "The height at {} lies {} {side} the ground found: read it again.",
                self.length(*at),
                self.length(off.abs())
            )
        });
        far.collect()
    }

    fn steeper(&self) -> Option<String> {
        let steeper = self.survey.steeper?;
        let below = if self.survey.turned { "from the upper end" } else { "from the first row" };
        Some(format!(
            "STEEPER: between {} and {} {below}, level, the readings fall {}, where these stretches have {}. Read it \
             again; if it stands, measure that piece by itself, its two ends as rows, before anybody drives there.",
            self.length(steeper.from),
            self.length(steeper.to),
            degrees(steeper.gradient),
            degrees(steeper.found)
        ))
    }

    fn coarse(&self) -> Option<String> {
        let sure = self.sure();
        (sure > WANTED).then(|| {
            format!(
                "Too coarse for a verdict: ± {} where ± {} is wanted, {:.1} times as much. {}",
                either_side(sure),
                degrees(WANTED),
                sure / WANTED,
                if self.instrument.one_stand {
                    "Measure it with tape and clinometer, each line both ways."
                } else {
                    "Measure longer pieces, from bend to bend, each line both ways."
                }
            )
        })
    }
}

/// Half of an interval, rad, in tenths of a degree, rounded up: never surer than it is.
pub fn either_side(angle: f64) -> String {
    let tenths = libm::ceil(angle.to_degrees() * 10.0 - 1e-9) / 10.0;
    units::DEGREE.behind(&Shown::of(tenths, Digits::Decimals(1)).text)
}

fn degrees(angle: f64) -> String {
    units::DEGREE.behind(&Shown::of(angle.to_degrees(), Digits::Decimals(1)).text)
}
