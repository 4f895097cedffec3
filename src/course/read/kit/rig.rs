//! Reading what rigs need to know of a piece of kit: drum, layers, stretch, holding power, condition.

use super::Known;
use crate::course::cursor::{Field, Fields, Noted, Read};
use crate::course::read::point::ENDS;
use crate::course::{
    AnchorPlace, AnchorSort, Buried, Condition, Drum, KitKind, Name, RigData, RopeMaterial, RopeStretch,
    Stand, StretchAt,
};
use crate::quantity::{Force, Length, Share, Speed};

const CONDITIONS: &[(&str, Condition)] =
    &[("good", Condition::Good), ("worn", Condition::Worn), ("retired", Condition::Retired)];

const MATERIALS: &[(&str, RopeMaterial)] =
    &[("steel", RopeMaterial::Steel), ("synthetic", RopeMaterial::Synthetic)];

const STRETCH_AT: &[(&str, StretchAt)] =
    &[("breaking", StretchAt::Breaking), ("working-load", StretchAt::WorkingLoad)];

const ANCHORS: &[(&str, AnchorSort)] = &[
    ("picket", AnchorSort::Picket),
    ("pickets-1-1-1", AnchorSort::Pickets111),
    ("pickets-3-2-1", AnchorSort::Pickets321),
    ("buried", AnchorSort::Buried),
    ("tree", AnchorSort::Tree),
    ("rock", AnchorSort::Rock),
];

/// The keys that belong to one kind of kit, asked for only there.
pub(super) fn data(fields: &mut Fields, kind: Read<KitKind>, known: &Known) -> Read<RigData> {
    let standard = fields.optional("standard", Field::text);
    let condition = fields.optional("condition", |field| field.choice(CONDITIONS));
    let inspected = fields.optional("inspected", inspected);
    let of_kind = match kind {
        Ok(KitKind::Winch) => winch(fields, known),
        Ok(KitKind::Line) => line(fields),
        Ok(KitKind::SnatchBlock) => block(fields),
        Ok(KitKind::Strap) => strap(fields),
        Ok(KitKind::KineticRope) => kinetic(fields),
        Ok(KitKind::GroundAnchor) => anchor(fields, known),
        _ => Ok(RigData::default()),
    };
    Ok(RigData {
        standard: standard?,
        condition: condition?.unwrap_or_default(),
        inspected: inspected?,
        ..of_kind?
    })
}

/// A day with its year: a date without one may be any year’s.
fn inspected(field: Field) -> Read<Name> {
    let word = field.word("1 March 2026")?;
    let digits = word.split(|letter: char| !letter.is_ascii_digit());
    let year = |number: &str| number.len() == 4 && (number.starts_with("19") || number.starts_with("20"));
    if !digits.into_iter().any(year) {
        return Err(field.problem(
            format!("`inspected`: {word} has no year"),
            "write the day with its year, like 1 March 2026; leave the key out where nobody knows",
        ));
    }
    field.text()
}

fn load(field: &Field) -> Read<f64> {
    Ok(field.within::<Force>("0.1 kN", "2000 kN")?.si())
}

fn winch(fields: &mut Fields, known: &Known) -> Read<RigData> {
    let layers =
        fields.optional_list("layers", |field| field.list("the pull on a layer", |item| load(&item)));
    let drum = fields.optional("drum", |field| drum(&field));
    let line = fields.optional("line", |field| known.pieces.refer(&field));
    let on = fields.optional("on", |field| known.vehicles.refer(&field));
    let line_speed = fields.optional("line-speed", |field| field.within::<Speed>("0.005 m/s", "1 m/s"));
    let mounted = fields.optional("mounted", |field| field.choice(ENDS));
    let by_hand = fields.optional("by-hand", Field::truth);
    fields.together(&["on", "mounted"]);
    let rope_through = fields.optional("rope-through", Field::truth)?.unwrap_or(false);
    if fields.peek("on").is_some() != fields.peek("mounted").is_some() {
        return Err(fields.problem(
            if fields.peek("on").is_some() { "on" } else { "mounted" },
            "a winch on a vehicle needs both `on` and `mounted`: it pulls only the way it looks",
            "write `on: wagon` and `mounted: front` (or rear); leave both out for a portable one",
        ));
    }
    if let Some(key) = ["layers", "drum"].into_iter().find(|key| rope_through && fields.peek(key).is_some()) {
        let message = "a winch that the rope passes through has no drum and no layers".to_owned();
        return Err(fields.conflict(key, "rope-through", "rope-through", message, "keep one of the two"));
    }
    let layers = layers?;
    if layers.windows(2).any(|two| two[1] > two[0]) {
        return Err(fields.problem(
            "layers",
            "the pull rises from layer to layer",
            "the first layer, on the bare drum, pulls hardest; write the layers in order",
        ));
    }
    if let (Some(first), Some(rated)) = (layers.first(), fields.peek("working-load")) {
        let rated = load(&rated)?;
        if *first > 1.02 * rated {
            let message = "the first layer pulls more than `working-load`".to_owned();
            let help = "the working load of a winch is its pull on the first layer";
            return Err(fields.conflict("layers", "working-load", "the rating", message, help));
        }
    }
    Ok(RigData {
        layers,
        drum: drum?,
        line: line?,
        on: on?,
        line_speed: line_speed?,
        mounted: mounted?,
        by_hand: by_hand?.unwrap_or(false),
        rope_through,
        ..RigData::default()
    })
}

fn drum(field: &Field) -> Read<Drum> {
    let mut fields = Fields::of(field, "a drum")?;
    let barrel = fields.required("barrel", "barrel: 64 mm", |f| f.within::<Length>("20 mm", "1 m"));
    let width = fields.required("width", "width: 224 mm", |f| f.within::<Length>("20 mm", "2 m"));
    let rope = fields.required("rope", "rope: 10 mm", |f| f.within::<Length>("3 mm", "50 mm"));
    fields.finish();
    Ok(Drum { barrel: barrel?, width: width?, rope: rope? })
}

fn line(fields: &mut Fields) -> Read<RigData> {
    let material = fields.optional("material", |field| field.choice(MATERIALS))?;
    Ok(RigData { material: material.unwrap_or_default(), ..RigData::default() })
}

fn block(fields: &mut Fields) -> Read<RigData> {
    let sheaves = fields.optional("sheaves", |field| field.whole(1, 4))?;
    Ok(RigData { sheaves, ..RigData::default() })
}

fn strap(fields: &mut Fields) -> Read<RigData> {
    let legs = fields.optional("legs", |field| field.whole(2, 2))?;
    Ok(RigData { legs, ..RigData::default() })
}

/// A stretch counts only with the load it is stated at.
fn kinetic(fields: &mut Fields) -> Read<RigData> {
    let share = fields.optional("stretch", |field| field.within::<Share>("1 %", "60 %"));
    let at = fields.optional("stretch-at", |field| field.choice(STRETCH_AT));
    fields.together(&["stretch", "stretch-at"]);
    let (share, at) = (share?, at?);
    let stretch = match (share, at) {
        (Some(share), Some(at)) => Some(RopeStretch { share, at }),
        (None, None) => None,
        _ => return Err(half_a_stretch(fields, share.is_some())),
    };
    Ok(RigData { stretch, ..RigData::default() })
}

fn half_a_stretch(fields: &Fields, has_share: bool) -> Noted {
    let (key, missing) = if has_share { ("stretch", "stretch-at") } else { ("stretch-at", "stretch") };
    fields.problem(
        key,
        format!("`{key}` says nothing without `{missing}`"),
        "a stretch counts only with its load: `stretch: 20 %` and `stretch-at: breaking` or `working-load`",
    )
}

fn anchor(fields: &mut Fields, known: &Known) -> Read<RigData> {
    let stands = fields
        .optional_list("stands", |field| field.list("a place where it stands", |item| stand(&item, known)));
    let sort = fields.optional("sort", |field| field.choice(ANCHORS));
    let holds = fields.optional("holds", |field| load(&field));
    let log = fields.optional("log", |field| buried(&field));
    let (sort, holds, log, stands) = (sort?, holds?, log?, stands?);
    if log.is_some() && sort != Some(AnchorSort::Buried) {
        let help = "write `sort: buried` beside it, or leave `log` out";
        return Err(fields.problem("log", "only a buried anchor has a log", help));
    }
    if log.is_some() && stands.is_empty() {
        return Err(fields.problem(
            "log",
            "a buried log serves where it lies alone, and the place is not told",
            "add a line like `stands: [{slope: old-incline, place: brow}]`; place is brow, half-way or foot",
        ));
    }
    if holds.is_some() && stands.is_empty() {
        return Err(fields.problem(
            "holds",
            "an anchor tested at one place serves there alone, and the place is not told",
            "add a line like `stands: [{slope: old-incline, place: brow}]`; place is brow, half-way or foot",
        ));
    }
    Ok(RigData { anchor: sort, holds, buried: log, stands, ..RigData::default() })
}

/// `log: {length: 1.5 m, face: 30 cm, depth: 1.2 m, line: 3, ground: loam}`: the line climbs out 1 in 3.
fn buried(field: &Field) -> Read<Buried> {
    let mut fields = Fields::of(field, "a buried log")?;
    let length = fields.required("length", "length: 1.5 m", |f| f.within::<Length>("0.5 m", "6 m"));
    let face = fields.required("face", "face: 30 cm", |f| f.within::<Length>("5 cm", "1 m"));
    // The table of holding powers begins at 3 ft and ends at 7.
    let depth = fields.required("depth", "depth: 1.2 m", |f| f.within::<Length>("3 ft", "7 ft"));
    let one_in = fields.required("line", "line: 3", |f| f.whole::<u8>(1, 4));
    let wet = fields.required("ground", "ground: loam", |f| f.choice(&[("loam", false), ("wet", true)]));
    fields.finish();
    let one_in = usize::from(one_in?);
    Ok(Buried { length: length?, face: face?, depth: depth?, one_in, wet: wet? })
}

fn stand(item: &Field, known: &Known) -> Read<Stand> {
    let mut fields = Fields::of(item, "a place where an anchor stands")?;
    let slope = fields.required("slope", "slope: old-incline", |field| known.slopes.refer(&field));
    let place = fields.required("place", "place: brow", |field| {
        field.choice(&[
            ("brow", AnchorPlace::Brow),
            ("half-way", AnchorPlace::HalfWay),
            ("foot", AnchorPlace::Foot),
        ])
    });
    fields.finish();
    Ok(Stand { slope: slope?, place: place? })
}
