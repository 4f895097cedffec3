//! What a first course says, from the answers of whoever begins it.

use std::path::Path;

use minijinja::value::Serde;
use minijinja::{Environment, UndefinedBehavior};
use serde::Serialize;

use crate::cli::BeginArgs;
use crate::course::{VehicleClass, library_ids};
use crate::problem::Failure;
use crate::quantity::{Angle, Length, ParseError, parse};

const COURSE: &str = include_str!("../../../templates/begin/course.yaml");

/// What a first course is filled with.
#[derive(Debug, Serialize)]
pub(super) struct Starter {
    pub(super) title: String,
    pub(super) club: String,
    pub(super) site: String,
    pub(super) units: String,
    pub(super) imperial: bool,
    pub(super) paper: String,
    pub(super) slopes: Vec<Ground>,
    pub(super) vehicles: Vec<Comes>,
}

/// A slope as somebody says it in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Ground {
    id: String,
    name: String,
    surface: String,
    length: String,
    gradient: String,
    run_out: Option<String>,
    /// Where its middle and its foot lie on the plan that the course tells of, m north.
    via_north: String,
    foot_north: String,
}

/// Where the brow of a slope lies on the plan that a first course tells of, m north.
const BROW_NORTH: f64 = 100.0;

/// A vehicle as somebody says it in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Comes {
    id: String,
    name: String,
    class: &'static str,
    /// As its name says; its engine is petrol to the program until somebody tells.
    diesel: bool,
    /// Whether it was said to have a low range.
    low: bool,
}

/// What the course's template is given.
#[derive(Serialize)]
struct Filled<'a> {
    file: String,
    surfaces: String,
    #[serde(flatten)]
    starter: &'a Starter,
}

/// The first course with all said that it only tells of: every key stands in it.
///
/// # Errors
/// The starter is at fault.
pub(in crate::commands) fn shown_in_full() -> Result<String, Failure> {
    Ok(Starter::of(&BeginArgs::default())?.text(Path::new("course.yaml"))?.replace("#: ", ""))
}

impl Starter {
    /// What the options say, and something to change for what they do not.
    ///
    /// # Errors
    /// A slope or a vehicle that cannot be read, with what would be right.
    pub(super) fn of(args: &BeginArgs) -> Result<Self, Failure> {
        let imperial = args.units.as_deref() == Some("imperial");
        let surface = surface(args.ground.as_deref().unwrap_or("earth-dry")).map_err(Failure::Usage)?;
        let slopes = args.slopes.iter().map(|line| Ground::read(line, &surface));
        let mut slopes = slopes.collect::<Result<Vec<_>, _>>().map_err(Failure::Usage)?;
        let vehicles = args.vehicles.iter().map(|line| Comes::read(line));
        let mut vehicles = vehicles.collect::<Result<Vec<_>, _>>().map_err(Failure::Usage)?;
        if slopes.is_empty() {
            slopes = examples(imperial)
                .iter()
                .map(|line| Ground::read(line, &surface).expect("it reads"))
                .collect();
        }
        if vehicles.is_empty() {
            vehicles = ["petrol wagon, wagon, low range", "diesel pickup, pickup, low range"]
                .map(|line| Comes::read(line).expect("it reads"))
                .into();
        }
        let or =
            |given: &Option<String>, otherwise: &str| given.clone().unwrap_or_else(|| otherwise.to_owned());
        let mut starter = Self {
            title: or(&args.title, "First descents"),
            club: or(&args.club, "Our club"),
            site: or(&args.site, "Write here where people find you"),
            units: or(&args.units, "metric"),
            imperial,
            paper: or(&args.paper, if imperial { "letter" } else { "A4" }),
            slopes,
            vehicles,
        };
        starter.name_apart();
        Ok(starter)
    }

    /// No two slopes and no two vehicles keep one short name.
    pub(super) fn name_apart(&mut self) {
        apart(self.slopes.iter_mut().map(|slope| &mut slope.id).collect());
        apart(self.vehicles.iter_mut().map(|vehicle| &mut vehicle.id).collect());
    }

    /// The course file.
    ///
    /// # Errors
    /// The starter is at fault.
    pub(super) fn text(&self, file: &Path) -> Result<String, Failure> {
        let fault = |why: minijinja::Error| Failure::Template(format!("the first course: {why:#}"));
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.add_filter("q", quoted);
        let template = environment.template_from_named_str("course.yaml", COURSE).map_err(fault)?;
        let words: Vec<_> = library_ids().collect();
        let filled = Filled { file: file.display().to_string(), surfaces: words.join(", "), starter: self };
        Ok(template.render(Serde(filled)).map_err(fault)? + "\n")
    }
}

impl Ground {
    /// `North bank, 40 m, 12°, 30 m`: name, length, gradient, and the run-out where it was measured.
    pub(super) fn read(line: &str, surface: &str) -> Result<Self, String> {
        let parts: Vec<&str> = line.split(',').map(str::trim).collect();
        let [name, length, gradient, ref rest @ ..] = parts[..] else { return Err(no_slope(line)) };
        if name.is_empty() || rest.len() > 1 {
            return Err(no_slope(line));
        }
        let why = |error: ParseError| format!("`{line}`: {}; {}", error.message, error.help);
        if parse::<Length>(length).is_err() && parse::<Angle>(length).is_ok() {
            return Err(format!("`{line}`: length first, then gradient: `{name}, {gradient}, {length}`"));
        }
        let along: Length = parse(length).map_err(why)?;
        let angle: Angle = parse(gradient).map_err(why)?;
        let level = along.si() * libm::cos(angle.si());
        let run_out = rest.first().map(|text| parse::<Length>(text).map_err(why).map(|_| (*text).to_owned()));
        Ok(Self {
            id: id_of(name, "slope"),
            name: name.to_owned(),
            surface: surface.to_owned(),
            length: length.to_owned(),
            gradient: gradient.to_owned(),
            run_out: run_out.transpose()?,
            via_north: format!("{:.1}", BROW_NORTH - 0.5 * level),
            foot_north: format!("{:.1}", BROW_NORTH - level),
        })
    }
}

impl Comes {
    /// `blue wagon, wagon, low range`: name and class, or the class alone, and whether it has a low range.
    pub(super) fn read(whole: &str) -> Result<Self, String> {
        let told = whole.rsplit_once(',').map(|(before, last)| (before, last.trim().to_lowercase()));
        let (line, low) = match &told {
            Some((before, last)) if last == "low range" => (*before, true),
            Some((before, last)) if last == "no low range" => (*before, false),
            _ => (whole, false),
        };
        let (name, class) = line.rsplit_once(',').unwrap_or((line, line));
        let (name, class) = (name.trim(), class.trim());
        let known = VehicleClass::ALL.iter().map(|class| class.key());
        let Some(class) = known.clone().find(|key| *key == class) else {
            let words: Vec<_> = known.collect();
            return Err(format!(
                "`{line}`: write name, class and `low range` if it has one, like `blue wagon, wagon, low range`; the class is {}",
                listed(&words)
            ));
        };
        let diesel = name.to_lowercase().contains("diesel");
        Ok(Self { id: id_of(name, "vehicle"), name: name.to_owned(), class, diesel, low })
    }
}

/// A surface of the library.
pub(super) fn surface(word: &str) -> Result<String, String> {
    let words: Vec<_> = library_ids().collect();
    let known = words.contains(&word);
    known
        .then(|| word.to_owned())
        .ok_or_else(|| format!("`{word}` is no ground of the library: it has {}", listed(&words)))
}

/// A text as YAML holds it: in quotes only where it needs them. A text of JSON is one of YAML too.
fn quoted(text: &str) -> String {
    let plain = text.starts_with(char::is_alphanumeric)
        && text.ends_with(|c: char| c.is_alphanumeric() || "°.%".contains(c))
        && text.chars().all(|c| c.is_alphanumeric() || " .°%-".contains(c))
        && !["null", "true", "false"].contains(&text.to_lowercase().as_str());
    if plain { text.to_owned() } else { serde_json::Value::from(text).to_string() }
}

fn listed(words: &[&str]) -> String {
    words.join(", ")
}

fn no_slope(line: &str) -> String {
    format!(
        "`{line}`: write name, length and gradient, like `North bank, 40 m, 12°`, and the run-out if it was measured: `, 30 m`"
    )
}

/// Two slopes to change, each with a run-out.
fn examples(imperial: bool) -> [&'static str; 2] {
    if imperial {
        ["Gentle bank, 130 ft, 8°, 100 ft", "Steep bank, 100 ft, 14°, 100 ft"]
    } else {
        ["Gentle bank, 40 m, 8°, 30 m", "Steep bank, 30 m, 14°, 30 m"]
    }
}

/// A short name for references: small letters, digits and hyphens.
fn id_of(name: &str, otherwise: &str) -> String {
    let plain = name.to_lowercase().replace(|c: char| !c.is_ascii_alphanumeric(), "-");
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    let id: String = parts.join("-").chars().take(30).collect();
    if id.is_empty() { otherwise.to_owned() } else { id }
}

/// A number behind what stands twice.
fn apart(ids: Vec<&mut String>) {
    let mut taken: Vec<String> = Vec::new();
    for id in ids {
        let mut number = 1;
        let base = id.clone();
        while taken.contains(id) {
            number += 1;
            *id = format!("{base}-{number}");
        }
        taken.push(id.clone());
    }
}
