//! Reading slopes.

mod photograph;
pub(super) mod site;

use photograph::photograph;

use crate::course::cursor::{Field, Fields, Names, Read};
use crate::course::{
    Brow, Danger, DangerKind, Escape, Lookout, RunOut, Sight, SkidPad, Slope, Step, Stretch, Survey,
};
use crate::quantity::{Angle, Length, Speed};

/// Largest angle off the fall line, degrees.
const MOST_HEADING: f64 = 80.0;

/// A slope; `surfaces` are the names it may refer to.
pub(super) fn slope(item: &Field, surfaces: &Names) -> Read<Slope> {
    let mut fields = Fields::of(item, "a slope")?;
    let id = fields.required("id", "id: north-bank", Field::id);
    let name = fields.required("name", "name: North bank", Field::text);
    let purpose = fields.required("purpose", "purpose: First descent in low range.", Field::text);
    let surface = fields.required("surface", "surface: grass-dry", |field| surfaces.refer(&field));
    let wet_surface = fields.optional("wet-surface", |field| surfaces.refer(&field));
    let stretches = stretches(&mut fields);
    let cross_slope = fields.optional("cross-slope", |field| field.within::<Angle>("0°", "45°"));
    let heading = fields.optional("heading", |field| heading(&field));
    let width = fields.optional("width", |field| field.within::<Length>("1 m", "500 m"));
    let run_out = fields.optional("run-out", |field| run_out(&field, surfaces));
    let escape = fields.optional("escape", |field| escape(&field, surfaces));
    let entry_speed = fields
        .required("entry-speed", "entry-speed: 3 km/h", |field| field.within::<Speed>("0 km/h", "60 km/h"));
    let brow = fields.optional("brow", |field| brow(&field));
    let foot_rounded = fields.optional("foot", |field| {
        let mut fields = Fields::of(&field, "the foot")?;
        let rounded = rounded(&mut fields);
        fields.finish();
        rounded
    });
    let bump = fields.optional("bump", |field| field.within::<Length>("0 m", "1 m"));
    let hazards = fields.optional_list("hazards", |field| field.list("a hazard", danger));
    let rules = fields.optional_list("rules", Field::texts);
    let spotter = fields.optional("spotter", Field::text);
    let instructor_beside = fields.optional("instructor-beside", Field::truth);
    let channel = fields.optional("channel", Field::text);
    let assessor = fields.optional("assessor", |field| lookout(&field));
    let survey = fields.optional("survey", |field| survey(&field));
    let photographs = fields.optional_list("photographs", |field| field.list("a photograph", photograph));
    step_on_slope(&fields, stretches.as_ref().ok(), hazards.as_ref().ok());
    fields.finish();
    Ok(Slope {
        id: id?,
        name: name?,
        purpose: purpose?,
        surface: surface?,
        wet_surface: wet_surface?,
        dry_surface: None,
        stretches: stretches?,
        cross_slope: cross_slope?.unwrap_or_default(),
        heading: heading?.unwrap_or_default(),
        width: width?,
        run_out: run_out?,
        escape: escape?,
        entry_speed: entry_speed?,
        brow: brow?.unwrap_or_default(),
        foot_rounded: foot_rounded?.flatten(),
        bump: bump?,
        hazards: hazards?,
        rules: rules?,
        spotter: spotter?,
        instructor_beside: instructor_beside?.unwrap_or_default(),
        channel: channel?,
        assessor: assessor?,
        survey: survey?,
        photographs: photographs?,
    })
}

/// The angle between the line driven and the fall line: beyond 80° a vehicle no longer comes down.
fn heading(field: &Field) -> Read<Angle> {
    let angle: Angle = field.within("0°", "90°")?;
    if angle.si() > MOST_HEADING.to_radians() + 1e-12 {
        let message =
            format!("a line {:.0}° off the fall line goes across the slope", angle.si().to_degrees());
        let help = "80° is the most that still comes down; a track along a slope has its own gradient, and the slope across \
                    it is `cross-slope`";
        return Err(field.problem(message, help));
    }
    Ok(angle)
}

/// `stretches:` as a list, or `length:` and `gradient:` for a slope of one stretch.
fn stretches(fields: &mut Fields) -> Read<Vec<Stretch>> {
    fields.one_of(&[&["stretches"], &["length", "gradient"]]);
    if fields.peek("stretches").is_none()
        && (fields.peek("length").is_some() || fields.peek("gradient").is_some())
    {
        // Asked for so that a list of the known keys names it.
        fields.field("stretches");
        return Ok(vec![one_stretch(fields)?]);
    }
    let list = fields.required("stretches", "stretches: [{length: 45 m, gradient: 22°}]", |field| {
        field.list("a stretch", |item| {
            let mut fields = Fields::of(&item, "a stretch")?;
            let stretch = one_stretch(&mut fields);
            fields.finish();
            stretch
        })
    });
    for key in ["length", "gradient"] {
        if fields.field(key).is_some() {
            fields.problem(
                key,
                format!("`{key}` stands beside `stretches`, which hold their own"),
                "keep either `stretches`, or `length` and `gradient` for a slope of one stretch",
            );
        }
    }
    list
}

fn one_stretch(fields: &mut Fields) -> Read<Stretch> {
    let length = fields.required("length", "length: 45 m", |field| field.within::<Length>("0.5 m", "2 km"));
    let gradient = fields.required("gradient", "gradient: 22°", |field| gradient(&field));
    Ok(Stretch { length: length?, gradient: gradient? })
}

/// A gradient down the slope: never a rise, never a cliff.
fn gradient(field: &Field) -> Read<Angle> {
    let angle: Angle = field.within("-89°", "89.9°")?;
    if angle.si() < 0.0 {
        let help = "end the slope above it; a rise after the foot is the `gradient` of the `run-out`";
        return Err(field.problem("a stretch of a descent cannot rise", help));
    }
    if angle.si() >= 60.0_f64.to_radians() {
        let help = "practice slopes lie below 60°; per cent is height over level distance, so 60 % is 31°";
        return Err(field.problem(format!("{:.0}° is a wall, not a slope", angle.si().to_degrees()), help));
    }
    Ok(angle)
}

fn run_out(field: &Field, surfaces: &Names) -> Read<RunOut> {
    let mut fields = Fields::of(field, "a run-out")?;
    let length = fields.required("length", "length: 30 m", |field| field.within::<Length>("0.5 m", "5 km"));
    let gradient = fields.optional("gradient", |field| field.within::<Angle>("-45°", "45°"));
    let surface = fields.optional("surface", |field| surfaces.refer(&field));
    let ends_at = fields.optional("ends-at", Field::text);
    fields.finish();
    Ok(RunOut {
        length: length?,
        gradient: gradient?.unwrap_or_default(),
        surface: surface?,
        ends_at: ends_at?,
    })
}

/// The way out of a line across a slope, straight down.
fn escape(field: &Field, surfaces: &Names) -> Read<Escape> {
    let mut fields = Fields::of(field, "a way out")?;
    let length = fields.required("length", "length: 12 m", |field| field.within::<Length>("1 m", "500 m"));
    let gradient = fields.optional("gradient", |field| gradient(&field));
    let run_out = fields.required("run-out", "run-out: {length: 12 m, ends-at: earth bund}", |field| {
        run_out(&field, surfaces)
    });
    fields.finish();
    Ok(Escape { length: length?, gradient: gradient?, run_out: run_out? })
}

/// Steepest skid pad: flat enough that a vehicle does not roll off it.
const FLAT: &str = "3°";

/// Flat ground for the locked stop of the demonstration.
pub(super) fn skid_pad(field: &Field, surfaces: &Names) -> Read<SkidPad> {
    let mut fields = Fields::of(field, "a skid pad")?;
    let length = fields.required("length", "length: 60 m", |field| field.within::<Length>("5 m", "1 km"));
    let width = fields.required("width", "width: 12 m", |field| field.within::<Length>("3 m", "500 m"));
    let gradient = fields.optional("gradient", |field| field.within::<Angle>(&format!("-{FLAT}"), FLAT));
    let surface = fields.required("surface", "surface: clay-wet", |field| surfaces.refer(&field));
    let ends_at = fields.optional("ends-at", Field::text);
    fields.finish();
    Ok(SkidPad {
        length: length?,
        width: width?,
        gradient: gradient?.unwrap_or_default(),
        surface: surface?,
        ends_at: ends_at?,
    })
}

/// Sorts of dangers, in the words of the file.
const DANGERS: [(&str, DangerKind); 8] = [
    ("edge", DangerKind::Edge),
    ("water", DangerKind::Water),
    ("walkers", DangerKind::Walkers),
    ("animals", DangerKind::Animals),
    ("stones", DangerKind::Stones),
    ("traffic", DangerKind::Traffic),
    ("slippery", DangerKind::Slippery),
    ("step", DangerKind::Step),
];

/// `Dew until ten.`, or `{kind: slippery, what: Dew until ten.}`.
fn danger(field: Field) -> Read<Danger> {
    if !field.has_keys() {
        return Ok(Danger { what: field.text()?, kind: None, step: None });
    }
    let mut fields = Fields::of(&field, "a hazard")?;
    let what = fields.required("what", "what: Dew until ten.", Field::text);
    let kind = fields.required("kind", "kind: slippery", |field| field.choice(&DANGERS));
    let step = step(&mut fields, kind);
    fields.finish();
    Ok(Danger { what: what?, kind: Some(kind?), step: step? })
}

/// `at` and `height` of a step; no other hazard has them.
fn step(fields: &mut Fields, kind: Read<DangerKind>) -> Read<Option<Step>> {
    fields.together(&["at", "height"]);
    let at = fields.optional("at", |field| field.within::<Length>("0 m", "2 km"));
    let height = fields.optional("height", |field| field.within::<Length>("1 cm", "1 m"));
    let (at, height) = (at?, height?);
    let step = match (at, height) {
        (Some(at), Some(height)) => Step { at, height },
        (None, None) => return Ok(None),
        (Some(_), None) => return Err(fields.lacking("height", "height: 20 cm")),
        (None, Some(_)) => return Err(fields.lacking("at", "at: 18 m")),
    };
    if kind? != DangerKind::Step {
        let help = "write `kind: step`, or leave `at` and `height` out";
        return Err(fields.problem("at", "only a step has a place and a height".to_owned(), help));
    }
    Ok(Some(step))
}

/// A step beyond the foot is measured from somewhere else.
fn step_on_slope(fields: &Fields, stretches: Option<&Vec<Stretch>>, hazards: Option<&Vec<Danger>>) {
    let length: f64 = stretches.into_iter().flatten().map(|stretch| stretch.length.si()).sum();
    let steps = hazards.into_iter().flatten().filter_map(|danger| danger.step);
    if stretches.is_some() && steps.clone().any(|step| step.at.si() > length + 1e-9) {
        let help = "`at` of a step leads from the brow down along the ground, over its stretches";
        fields.problem("hazards", "a step lies beyond the foot of the slope", help);
    }
}

/// The ground before the brow and how it bends there.
fn brow(field: &Field) -> Read<Brow> {
    let mut fields = Fields::of(field, "the brow")?;
    let before = fields.optional("before", |field| field.within::<Angle>("-30°", "45°"));
    let rounded = rounded(&mut fields);
    fields.finish();
    Ok(Brow { before: before?.unwrap_or_default(), rounded: rounded? })
}

/// Length along the ground over which it bends.
fn rounded(fields: &mut Fields) -> Read<Option<Length>> {
    fields.optional("rounded", |field| field.within::<Length>("0 m", "50 m"))
}

/// What can be seen from a place beside a slope, in the words of the file.
const SIGHTS: [(&str, Sight); 3] = [("brow", Sight::Brow), ("line", Sight::Line), ("foot", Sight::Foot)];

fn lookout(field: &Field) -> Read<Lookout> {
    let mut fields = Fields::of(field, "an assessor's place")?;
    let stands = fields.required("stands", "stands: On the left bank of the run-out.", Field::text);
    let sees = fields.required("sees", "sees: [line, foot]", |field| {
        field.list("a part of the run", |part| part.choice(&SIGHTS))
    });
    fields.finish();
    Ok(Lookout { stands: stands?, sees: sees? })
}

fn survey(field: &Field) -> Read<Survey> {
    let mut fields = Fields::of(field, "a survey")?;
    let by = fields.optional("by", Field::text);
    let date = fields.optional("date", Field::text);
    let instrument = fields.optional("instrument", Field::text);
    let reads_to = fields.optional("reads-to", |field| field.within::<Angle>("0.05°", "5°"));
    fields.finish();
    Ok(Survey { by: by?, date: date?, instrument: instrument?, reads_to: reads_to? })
}
