//! What each kind of run needs, and what it has no use for.

use super::{Known, brake};
use crate::course::cursor::{Field, Fields, Noted, Read};
use crate::course::{End, Gear, Reads, RunGround, Seen, Slope, Towed, Vehicle};
use crate::quantity::{Force, Length, Speed, SpinRate, Time};

/// What was seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Timed,
    Spun,
    Slid,
    Coasted,
    Pulled,
    Rolled,
    Heated,
}

/// The key that says what was seen, what else belongs to it, and what has to be there.
const KINDS: [(&str, Kind, &[&str], &[&str]); 7] = [
    ("time", Kind::Timed, &["slope", "surface", "gear", "from", "between"], &["slope", "gear", "between"]),
    ("engine-speed", Kind::Spun, &["slope", "surface", "gear"], &["slope", "gear"]),
    ("slid", Kind::Slid, &["slope", "surface", "from", "speed"], &["speed"]),
    ("coasted", Kind::Coasted, &["slope", "surface", "speed"], &["speed"]),
    ("pull", Kind::Pulled, &["slope", "surface", "towed"], &["towed"]),
    ("rolled", Kind::Rolled, &["turns"], &["turns"]),
    (
        "hot",
        Kind::Heated,
        &["slope", "surface", "speed", "axle", "descents", "every", "before", "waited"],
        &["slope", "speed", "axle", "before", "waited"],
    ),
];

/// From this gradient on nothing in neutral comes to rest by itself for sure, rad: half a degree. Judgement.
const STILL: f64 = 0.5 * std::f64::consts::PI / 180.0;

const CONDITIONAL: [&str; 13] = [
    "slope", "surface", "gear", "from", "between", "speed", "towed", "turns", "axle", "descents", "every",
    "before", "waited",
];

const EXAMPLES: [&str; 13] = [
    "slope: north-bank",
    "surface: grass-dry",
    "gear: L1",
    "from: 5 m",
    "between: 20 m",
    "speed: 20 km/h",
    "towed: up",
    "turns: 5",
    "axle: front",
    "descents: 4",
    "every: 3 min",
    "before: 18 °C",
    "waited: 60 s",
];

const WAYS: [(&str, Towed); 3] = [("up", Towed::Up), ("down", Towed::Down), ("level", Towed::Level)];

impl Kind {
    /// By the one key that says what was seen.
    pub(super) fn of(fields: &Fields) -> Read<Self> {
        let mut said = KINDS.iter().filter(|(key, ..)| fields.peek(key).is_some());
        let Some((key, kind, uses, needs)) = said.next() else {
            let help = "add one of `time`, `engine-speed`, `slid`, `coasted`, `pull`, `rolled` and `hot`";
            return Err(fields.problem("", "this run does not say what was measured", help));
        };
        if let Some((other, ..)) = said.next() {
            let help = "write it as two runs, each with what it was measured with";
            return Err(fields.problem(other, format!("this run has `{key}` and `{other}`"), help));
        }
        let mut fault = None;
        for (one, example) in CONDITIONAL.iter().zip(EXAMPLES) {
            let there = fields.peek(one).is_some();
            if there && !uses.contains(one) {
                let message = format!("this run has no use for `{one}`");
                fault = Some(fields.problem(one, message, format!("take it out: what was seen is `{key}`")));
            }
            if !there && needs.contains(one) {
                let help = format!("add a line like `{example}`");
                fault = Some(fields.problem(key, format!("this run needs `{one}`"), help));
            }
        }
        fault.map_or(Ok(*kind), Err)
    }

    /// What an instrument for it reads.
    pub(super) const fn reads(self) -> Reads {
        match self {
            Self::Timed => Reads::Time,
            Self::Spun => Reads::Spin,
            Self::Slid | Self::Coasted => Reads::Speed,
            Self::Pulled => Reads::Force,
            Self::Rolled => Reads::Mark,
            Self::Heated => Reads::Heat,
        }
    }
}

/// Every key a run may have, read.
pub(super) struct Parts<'a> {
    slope: Read<Option<&'a Slope>>,
    surface: Read<Option<String>>,
    gear: Read<Option<Gear>>,
    from: Read<Option<Length>>,
    between: Read<Option<Length>>,
    time: Read<Option<Time>>,
    spin: Read<Option<SpinRate>>,
    slid: Read<Option<Length>>,
    coasted: Read<Option<Length>>,
    speed: Read<Option<Speed>>,
    force: Read<Option<Force>>,
    towed: Read<Option<Towed>>,
    turns: Read<Option<u32>>,
    rolled: Read<Option<Length>>,
    brake: brake::Parts,
    vehicle: Option<&'a Vehicle>,
}

impl<'a> Parts<'a> {
    pub(super) fn of(fields: &mut Fields, vehicle: Option<&str>, known: &Known<'a>) -> Self {
        let vehicle = vehicle.and_then(|id| known.vehicle(id));
        Self {
            slope: fields.optional("slope", |field| slope(&field, known)),
            surface: fields.optional("surface", |field| known.surfaces.refer(&field)),
            gear: fields.optional("gear", |field| gear(&field, vehicle)),
            from: fields.optional("from", |field| field.within::<Length>("0 m", "2 km")),
            between: fields.optional("between", |field| field.within::<Length>("2 m", "500 m")),
            time: fields.optional("time", |field| field.within::<Time>("0.5 s", "20 min")),
            spin: fields.optional("engine-speed", |field| field.within::<SpinRate>("300 rpm", "10000 rpm")),
            slid: fields.optional("slid", |field| field.within::<Length>("0.2 m", "200 m")),
            coasted: fields.optional("coasted", |field| field.within::<Length>("0.5 m", "500 m")),
            speed: fields.optional("speed", |field| field.within::<Speed>("3 km/h", "60 km/h")),
            force: fields.optional("pull", |field| field.within::<Force>("50 N", "200 kN")),
            towed: fields.optional("towed", |field| field.choice(&WAYS)),
            turns: fields.optional("turns", |field| field.whole::<u32>(1, 200)),
            rolled: fields.optional("rolled", |field| field.within::<Length>("1 m", "1 km")),
            brake: brake::Parts::of(fields),
            vehicle,
        }
    }

    /// What was seen, from parts that are there.
    pub(super) fn seen(self, kind: Kind, fields: &Fields) -> Read<Seen> {
        Ok(match kind {
            Kind::Rolled => {
                let seen =
                    Seen::Rolled { turns: self.turns?.ok_or(Noted)?, length: self.rolled?.ok_or(Noted)? };
                return plausible_tyre(seen, self.vehicle, fields);
            }
            Kind::Timed => self.timed(fields)?,
            Kind::Spun => Seen::Spun {
                ground: self.ground(fields)?,
                gear: self.gear?.ok_or(Noted)?,
                spin: self.spin?.ok_or(Noted)?,
            },
            Kind::Slid => {
                let ground = self.ground(fields)?;
                if self.vehicle.is_some_and(|one| one.brakes.front.is_none() && one.brakes.rear.is_none()) {
                    let help = "a slide is of locked wheels; take the run out";
                    return Err(fields.problem("vehicle", "this run's vehicle has no brakes", help));
                }
                Seen::Slid {
                    ground,
                    from: self.from?,
                    speed: self.speed?.ok_or(Noted)?,
                    length: self.slid?.ok_or(Noted)?,
                }
            }
            Kind::Coasted => self.coasted(fields)?,
            Kind::Heated => self.heated(fields)?,
            Kind::Pulled => {
                let (ground, towed) = (self.ground(fields)?, self.towed?.ok_or(Noted)?);
                if (towed == Towed::Level) != ground.slope.is_none() {
                    let help = "`level` is for ground that is no slope, named by its `surface`; on a slope it is `up` or `down`";
                    return Err(fields.problem("towed", "this run's `towed` does not fit its ground", help));
                }
                Seen::Pulled { ground, towed, force: self.force?.ok_or(Noted)? }
            }
        })
    }

    /// To rest: on ground no steeper than one on which a vehicle comes to rest by itself.
    fn coasted(self, fields: &Fields) -> Read<Seen> {
        let ground = self.ground(fields)?;
        let steep = self.slope?.is_some_and(|slope| slope.steepest().gradient.si() >= STILL);
        if steep {
            let help = "a vehicle in neutral does not come to rest there; do it on the level, and name its `surface`";
            return Err(fields.problem("slope", "this run's slope is too steep to roll out on", help));
        }
        Ok(Seen::Coasted { ground, speed: self.speed?.ok_or(Noted)?, length: self.coasted?.ok_or(Noted)? })
    }

    /// By the foot brake of an axle that has one.
    fn heated(self, fields: &Fields) -> Read<Seen> {
        let (ground, speed) = (self.ground(fields)?, self.speed?.ok_or(Noted)?);
        let heat = self.brake.heated(speed, fields)?;
        let brakes = self.vehicle.map(|vehicle| vehicle.brakes);
        let braked =
            brakes.is_none_or(|all| if heat.end == End::Front { all.front } else { all.rear }.is_some());
        if braked {
            return Ok(Seen::Heated { ground, heat });
        }
        Err(fields.problem("axle", "this run's vehicle has no brakes there", "name the axle that was read"))
    }

    /// Between pegs that both stand on the slope; where the first is not said, the last stands at the foot.
    fn timed(self, fields: &Fields) -> Read<Seen> {
        let ground = self.ground(fields)?;
        let (gear, time) = (self.gear?.ok_or(Noted)?, self.time?.ok_or(Noted)?);
        let (between, from) = (self.between?.ok_or(Noted)?, self.from?);
        let length = self.slope?.ok_or(Noted)?.length().si();
        let first = from.map_or(length - between.si(), Length::si);
        if first < -1e-6 || first + between.si() > length + 1e-6 {
            let message = format!("this run's pegs do not stand on the slope, which is {length:.0} m long");
            let help = "`from` is the way from the brow to the first peg, `between` from there to the second";
            return Err(fields.problem("between", message, help));
        }
        Ok(Seen::Timed { ground, gear, from: Length::new(first.max(0.0)), between, time })
    }

    fn ground(&self, fields: &Fields) -> Read<RunGround> {
        let (slope, surface) = (self.slope?, self.surface.clone()?);
        let own = || slope.map(|slope| slope.surface.clone());
        let Some(surface) = surface.or_else(own) else {
            let help = "add `slope: north-bank`, or `surface: grass-dry` for level ground";
            return Err(fields.problem("", "this run does not say where it was", help));
        };
        Ok(RunGround { slope: slope.map(|slope| slope.id.clone()), surface })
    }
}

/// A slope whose gradient somebody measured: of another, a run tells nothing.
fn slope<'a>(field: &Field, known: &Known<'a>) -> Read<&'a Slope> {
    let id = known.slopes.refer(field)?;
    let slope = known.slope(&id).ok_or(Noted)?;
    if slope.survey.is_none() {
        let message = format!("this run was on `{id}`, whose gradient nobody measured");
        return Err(field.problem(message, "measure the slope and write its `survey`, or take the run out"));
    }
    Ok(slope)
}

/// A gear that the vehicle has, as cards name it.
fn gear(field: &Field, vehicle: Option<&Vehicle>) -> Read<Gear> {
    let word = field.word("L1")?.to_uppercase();
    let gears = vehicle.ok_or(Noted)?.gears();
    gears.iter().find(|gear| gear.to_string() == word).copied().ok_or_else(|| {
        let known: Vec<String> = gears.iter().map(ToString::to_string).collect();
        field.problem(
            format!("this run's gear `{}` is none of its vehicle's", crate::course::cursor::start_of(&word)),
            format!("it has {}", known.join(", ")),
        )
    })
}

/// A wheel whose turn is near to what its tyre lets expect.
fn plausible_tyre(seen: Seen, vehicle: Option<&Vehicle>, fields: &Fields) -> Read<Seen> {
    let (Seen::Rolled { turns, length }, Some(vehicle)) = (&seen, vehicle) else { return Ok(seen) };
    let turn = length.si() / f64::from(*turns);
    let round = std::f64::consts::PI * vehicle.tyre.diameter.si();
    if (0.7..1.15).contains(&(turn / round)) {
        return Ok(seen);
    }
    let message = format!("this run gives {turn:.2} m a turn, and the tyre is {round:.2} m around");
    Err(fields.problem("rolled", message, "count the turns again, or look at the unit"))
}
