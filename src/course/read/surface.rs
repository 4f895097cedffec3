//! Reading surfaces.

use crate::course::cursor::{Field, Fields, Names, Read, id_fault};
use crate::course::surface::{library_ids, library_surface};
use crate::course::{Band, Ground, Name, Passage, Soil, Surface};

/// Friction beyond this belongs to racing tyres.
const MOST_FRICTION: f64 = 1.5;
const LEAST_FRICTION: f64 = 0.02;
/// Rolling resistance: below the best road, above the deepest sand.
const ROLLING: [f64; 2] = [0.003, 0.6];

const SOILS: &[(&str, Soil)] =
    &[("dry", Soil::Dry), ("wet", Soil::Wet), ("loose", Soil::Loose), ("hard", Soil::Hard)];

/// The keys under `surfaces`, if they can be told.
pub(super) fn ids(field: &Field) -> Option<Vec<String>> {
    use crate::course::tree::Value;
    let Value::Map(entries) = &field.node.value else { return None };
    Some(entries.iter().map(|entry| entry.key.clone()).collect())
}

/// Surfaces by their short name.
pub(super) fn surfaces(field: &Field) -> Read<Vec<Surface>> {
    let read: Vec<Read<Surface>> = field.named("surfaces")?.iter().map(surface).collect();
    read.into_iter().collect()
}

fn surface(field: &Field) -> Read<Surface> {
    let id = field.name;
    if let Some(fault) = id_fault(id) {
        return Err(
            field.problem(format!("a surface's name {fault}"), "use letters, digits and hyphens: clay-wet")
        );
    }
    let mut fields = Fields::of(field, "a surface")?;
    let library = Names::new("surface in the library", library_ids().map(str::to_owned).collect(), true);
    let like = fields.optional("like", |field| library.refer(&field));
    let base = like.as_ref().ok().and_then(|like| library_surface(like.as_ref()?));
    // Without a readable `like` nothing more is missing than a readable `like`.
    let alone = matches!(like, Ok(None));
    fields.one_of(&[&["like"], &["peak", "sliding", "rolling"]]);
    let name = fields.optional("name", Field::text);
    let ground =
        fields.optional("ground", |field| field.choice(&[("firm", Ground::Firm), ("loose", Ground::Loose)]));
    let soil = fields.optional("soil", |field| field.choice(SOILS));
    let friction = |field: Field| field.band(LEAST_FRICTION, MOST_FRICTION);
    let mut band = |key, example, read: &dyn Fn(Field) -> Read<Band>| {
        if alone { fields.required(key, example, read).map(Some) } else { fields.optional(key, read) }
    };
    let peak = band("peak", "peak: 0.4–0.6", &friction);
    let sliding = band("sliding", "sliding: 0.3–0.5", &friction);
    let rolling = band("rolling", "rolling: 0.04–0.08", &|field| field.band(ROLLING[0], ROLLING[1]));
    let source = fields.optional("source", Field::text);
    let estimated = fields.optional("estimated", Field::truth);
    let surface =
        assemble(id, base.as_ref(), (name, ground, soil, peak, sliding, rolling), source, estimated);
    if let Ok(surface) = &surface {
        check_sliding(&fields, surface);
    }
    fields.finish();
    surface
}

type Parts = (
    Read<Option<Name>>,
    Read<Option<Ground>>,
    Read<Option<Soil>>,
    Read<Option<Band>>,
    Read<Option<Band>>,
    Read<Option<Band>>,
);

fn assemble(
    id: &str,
    like: Option<&Surface>,
    (name, ground, soil, peak, sliding, rolling): Parts,
    source: Read<Option<Passage>>,
    estimated: Read<Option<bool>>,
) -> Read<Surface> {
    use crate::course::cursor::Noted;
    let (peak, sliding, rolling, source) = (peak?, sliding?, rolling?, source?);
    let changed = peak.is_some() || sliding.is_some() || rolling.is_some();
    // A value that somebody changed without saying where it comes from is an estimate.
    let presumed = if source.is_none() && changed { true } else { like.is_some_and(|like| like.estimated) };
    let own_source = || match like {
        Some(like) if changed => format!("this course, from: {}", like.source.full()).into(),
        Some(like) => like.source.clone(),
        None => "this course; no source given".into(),
    };
    Ok(Surface {
        id: id.to_owned(),
        name: name?
            .unwrap_or_else(|| like.map_or_else(|| id.replace('-', " ").into(), |like| like.name.clone())),
        ground: ground?.unwrap_or_else(|| like.map_or(Ground::Firm, |like| like.ground)),
        soil: soil?.unwrap_or_else(|| like.map_or(Soil::Unknown, |like| like.soil)),
        peak: peak.or(like.map(|like| like.peak)).ok_or(Noted)?,
        sliding: sliding.or(like.map(|like| like.sliding)).ok_or(Noted)?,
        rolling: rolling.or(like.map(|like| like.rolling)).ok_or(Noted)?,
        source: source.unwrap_or_else(own_source),
        estimated: estimated?.unwrap_or(presumed),
    })
}

/// On firm ground a sliding wheel never holds better than one that turns.
fn check_sliding(fields: &Fields, surface: &Surface) {
    let better = surface.sliding.likely > surface.peak.likely || surface.sliding.high > surface.peak.high;
    if surface.ground == Ground::Firm && better {
        let key = if fields.peek("sliding").is_some() { "sliding" } else { "peak" };
        fields.problem(
            key,
            "a sliding wheel holds better than a turning one only on loose ground",
            "lower `sliding`, raise `peak`, or write `ground: loose`",
        );
    }
}
