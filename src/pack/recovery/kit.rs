//! The kit record: ratings as the labels say them, rules for taking kit out of use, room to sign.

use serde::Serialize;

use crate::course::{
    AnchorSort, Condition, Course, KitItem, KitKind, Name, Remark, RopeMaterial, Slope, StretchAt,
};
use crate::pack::book::Book;
use crate::pack::recovery::plan::{UnfitRow, unfit_rows};
use crate::page::figure::{Fig, Show};
use crate::page::meta::Meta;
use crate::recovery::facts::{ANCHOR_MARGIN, Pickets, USUAL_FACTORS};
use crate::recovery::gear::{Gear, Reason, anchor_holds, anchor_holds_in, unfit_reason};
use crate::recovery::kinetic::stiffness;

/// The kit record.
#[derive(Serialize)]
pub(crate) struct KitRecord {
    pack: Meta,
    kit: Record,
}

#[derive(Serialize)]
struct Record {
    rows: Vec<Row>,
    others: Vec<Other>,
    unfit: Vec<UnfitRow>,
    /// What pulls, and nobody is known to have looked at.
    unseen: Vec<String>,
    factors: Vec<Factor>,
    rules: Vec<Rule>,
    anchor_margin: String,
    /// Whether a row has a cross.
    crossed: bool,
    /// Whether there is a ground anchor.
    anchors: bool,
}

#[derive(Clone, Serialize)]
struct Row {
    id: String,
    name: String,
    count: String,
    limit: Option<Fig>,
    basis: String,
    more: Option<String>,
    /// On which slopes pickets are counted.
    ground: Option<String>,
    /// What the course says of it.
    note: Option<String>,
    /// What was found then; none where nobody is known to have looked.
    condition: Option<&'static str>,
    inspected: Option<String>,
    fit: bool,
}

#[derive(Serialize)]
struct Other {
    name: String,
    count: String,
    note: Option<String>,
}

#[derive(Serialize)]
struct Factor {
    what: &'static str,
    value: String,
    #[serde(serialize_with = "crate::course::sources::as_cited")]
    source: &'static str,
}

#[derive(Serialize)]
struct Rule {
    kind: &'static str,
    retire: &'static str,
}

/// Kinds that carry a pull.
pub(crate) const PULLING: [KitKind; 8] = [
    KitKind::Winch,
    KitKind::Line,
    KitKind::KineticRope,
    KitKind::TowBar,
    KitKind::Strap,
    KitKind::SnatchBlock,
    KitKind::Shackle,
    KitKind::GroundAnchor,
];

impl KitRecord {
    /// From the book; none when the course has no kit.
    pub(crate) fn of(book: &Book, pack: Meta) -> Option<Self> {
        let course = book.course;
        if course.kit.is_empty() {
            return None;
        }
        let unfit = course
            .slopes
            .first()
            .map_or_else(Vec::new, |slope| Gear::of(course, course.surface_of(slope)).unfit);
        let (pulls, others): (Vec<&KitItem>, Vec<_>) =
            course.kit.iter().partition(|item| PULLING.contains(&item.kind));
        let unseen = pulls
            .iter()
            .filter(|item| item.rig.inspected.is_none() && item.rig.condition != Condition::Retired);
        let unseen = unseen.map(|item| item.name.short()).collect();
        let anchors = pulls.iter().any(|item| item.kind == KitKind::GroundAnchor);
        let rows: Vec<Row> = pulls.into_iter().flat_map(|item| rows(item, book)).collect();
        Some(Self {
            pack,
            kit: Record {
                crossed: rows.iter().any(|row| !row.fit),
                anchors,
                rows,
                others: others
                    .into_iter()
                    .map(|item| Other {
                        name: item.name.short(),
                        count: item.count.to_string(),
                        note: note(item),
                    })
                    .collect(),
                unfit: unfit_rows(book, &unfit),
                unseen,
                factors: USUAL_FACTORS
                    .iter()
                    .map(|known| Factor {
                        what: known.what,
                        value: format!("{}", known.factor),
                        source: known.source,
                    })
                    .collect(),
                rules: rules(course),
                anchor_margin: format!("{ANCHOR_MARGIN}"),
            },
        })
    }
}

/// Most pieces that get a row each, to be looked at and signed one by one.
const EACH: u16 = 12;

/// A row a piece; what is out of use, or comes in great number, in one.
fn rows(item: &KitItem, book: &Book) -> Vec<Row> {
    let mut first = Row { ground: counted_on(item, book), ..row(item, book.show) };
    let stands = stands_at(item, book);
    let more: Vec<String> = first.more.into_iter().chain(line_holds(item, book)).chain(stands).collect();
    first.more = (!more.is_empty()).then(|| more.join(", "));
    if item.count < 2 || item.count > EACH || !first.fit {
        return vec![first];
    }
    (1..=item.count)
        .map(|number| {
            let count = format!("{number} of {}", item.count);
            if number == 1 {
                Row { count, ..first.clone() }
            } else {
                Row {
                    count,
                    more: None,
                    note: None,
                    ground: None,
                    basis: "as the first".to_owned(),
                    ..first.clone()
                }
            }
        })
        .collect()
}

/// Where an anchor that does not move stands, and how many of it there; none for what is set where it is wanted.
pub(crate) fn stands_at(item: &KitItem, book: &Book) -> Option<String> {
    let places: Vec<String> = item
        .rig
        .stands
        .iter()
        .map(|stand| format!("{} {}", book.slope_mark(&stand.slope), stand.place.words()))
        .collect();
    let each = match (places.len(), item.count) {
        (0, _) => return None,
        (1, _) => String::new(),
        (_, count) => format!(", {count} at each"),
    };
    Some(format!("stands at {}{each}", places.join(" and ")))
}

fn row(item: &KitItem, show: Show) -> Row {
    let force = |newtons: f64| show.force(newtons, false);
    let reason = if item.kind == KitKind::GroundAnchor {
        anchor_holds(item).is_none().then(|| Reason::Untested.words().to_owned())
    } else if item.kind == KitKind::KineticRope && item.rating.breaking.is_some() {
        stiffness(item).err().map(|what| format!("its {} is not told: no snatch with it", what.words()))
    } else {
        unfit_reason(item).map(|reason| reason.words().to_owned())
    };
    let fit = reason.is_none() && item.rig.condition != Condition::Retired;
    let limit = if item.kind == KitKind::GroundAnchor {
        anchor_holds(item).map(|holds| force(holds / ANCHOR_MARGIN))
    } else {
        item.rating.limit().map(force)
    };
    // Nobody says good of what nobody is known to have looked at.
    let condition = match item.rig.condition {
        Condition::Good if item.rig.inspected.is_none() => None,
        Condition::Good => Some("good"),
        Condition::Worn => Some("worn, within its rules"),
        Condition::Retired => Some("retired"),
    };
    Row {
        id: item.id.clone(),
        name: item.name.short(),
        count: item.count.to_string(),
        fit,
        basis: reason.unwrap_or_else(|| basis(item, show)),
        // What stays in the box carries nothing, whatever its label says.
        limit: limit.filter(|_| fit),
        more: more(item, show),
        ground: None,
        note: note(item),
        condition,
        inspected: item.rig.inspected.as_ref().map(Name::short),
    }
}

/// Where pickets are counted for what is published: on firm, dry ground alone.
fn counted_on(item: &KitItem, book: &Book) -> Option<String> {
    item.rig.anchor.and_then(pickets_of).filter(|_| item.rig.holds.is_none())?;
    let dry = |slope: &&Slope| anchor_holds_in(item, book.course.surface_of(slope).soil).is_ok();
    let slopes = book.course.slopes.iter().filter(dry).map(|slope| book.slope_mark(&slope.id));
    let slopes: Vec<String> = slopes.collect();
    Some(if slopes.is_empty() {
        "counted on no slope of this course: no ground here is told to be firm and dry; test it there first"
            .to_owned()
    } else {
        format!("counted on {} alone, firm and dry; elsewhere test it there first", slopes.join(", "))
    })
}

/// What the line wound on a winch carries, where that is less than the winch pulls.
fn line_holds(item: &KitItem, book: &Book) -> Option<String> {
    let line = book.course.kit.iter().find(|other| item.rig.line.as_ref() == Some(&other.id))?;
    let (pulls, carries) = (item.rating.limit()?, line.rating.limit()?);
    (carries < pulls)
        .then(|| format!("with its line no more than {}", book.show.force(carries, false).text()))
}

fn note(item: &KitItem) -> Option<String> {
    item.note.as_ref().map(Remark::short)
}

/// Where the limit comes from.
fn basis(item: &KitItem, show: Show) -> String {
    let text = |newtons: f64| show.force(newtons, false).text();
    let standard = item.rig.standard.as_ref().map_or_else(String::new, |standard| format!(", {standard}"));
    let rating = &item.rating;
    match (anchor_holds(item), rating.working_load, rating.breaking, rating.design_factor) {
        (Some(holds), ..) if item.rig.holds.is_some() => {
            format!("tested to hold {}, less the margin", text(holds))
        }
        (Some(holds), ..) if item.rig.buried.is_some() => {
            format!("published for a buried log: {}, less the margin; test it first", text(holds))
        }
        (Some(holds), ..) => {
            format!(
                "published for pickets in undisturbed loam: about {}, less the margin; test it first",
                text(holds)
            )
        }
        (None, Some(_), ..) => format!("label{standard}"),
        (None, None, Some(breaking), Some(factor)) => {
            format!("strength {} over the label’s factor {}{standard}", text(breaking), factor.si())
        }
        (None, None, Some(breaking), None) if item.kind == KitKind::KineticRope => {
            format!("strength {}: for a snatch only, no working load limit{standard}", text(breaking))
        }
        _ => String::new(),
    }
}

fn more(item: &KitItem, show: Show) -> Option<String> {
    let mut parts = Vec::new();
    if let Some(length) = item.length {
        parts.push(show.length(length.si(), false).text());
    }
    if let Some(drum) = item.rig.drum {
        let [barrel, rope] = [drum.barrel.si(), drum.rope.si()].map(|metres| 1e3 * metres);
        parts.push(format!("drum {barrel:.0} mm, rope {rope:.0} mm"));
    }
    if item.rig.rope_through {
        parts.push("the rope passes through: no drum, no layers".to_owned());
    }
    if let Some(pickets) = item.rig.anchor.and_then(pickets_of) {
        let count = pickets.count();
        parts.push(if count == 1 { "1 picket".to_owned() } else { format!("{count} pickets") });
    }
    if let Some(sheaves) = item.rig.sheaves {
        parts.push(if sheaves == 1 { "1 sheave".to_owned() } else { format!("{sheaves} sheaves") });
    }
    if item.rig.legs.is_some() {
        parts.push("limit of one leg".to_owned());
    }
    if let Some(stretch) = item.rig.stretch {
        let at = if stretch.at == StretchAt::Breaking { "strength" } else { "working load" };
        parts.push(format!("stretches {:.0} % at its {at}", 100.0 * stretch.share.si()));
    }
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// When each kind of thing in the kit leaves use, by what it is. Common practice, no source.
fn rules(course: &Course) -> Vec<Rule> {
    let has = |wanted: fn(&KitItem) -> bool| course.kit.iter().any(wanted);
    let soft = |item: &KitItem| {
        matches!(item.kind, KitKind::Strap | KitKind::KineticRope)
            || (item.kind == KitKind::Line && item.rig.material == RopeMaterial::Synthetic)
    };
    let rules: [(&'static str, bool, &'static str); 9] = [
        (
            "Straps, ropes, kinetic ropes",
            has(soft),
            "cut, burnt, melted, knotted; stitching open; label not readable; chemicals; loaded by a shock outside its band; stiff or flat places in a synthetic line",
        ),
        (
            "Steel rope",
            has(|item| item.kind == KitKind::Line && item.rig.material == RopeMaterial::Steel),
            "broken wires, kinks, birdcage, flat or rusted strands, loose ferrule",
        ),
        (
            "Shackles",
            has(|item| item.kind == KitKind::Shackle),
            "bent, worn, pin of another shackle, pin that does not seat at the shoulder, no readable stamp",
        ),
        (
            "Blocks",
            has(|item| item.kind == KitKind::SnatchBlock),
            "sheave that does not turn or wobbles, side plates bent or apart, cracked hook or eye, no stamp",
        ),
        (
            "Tow bar",
            has(|item| item.kind == KitKind::TowBar),
            "bent, a weld cracked, an eye or pin worn, a pin without its clip, no readable stamp",
        ),
        (
            "Winch with a drum",
            has(|item| item.kind == KitKind::Winch && !item.rig.rope_through),
            "brake slips, drum or fairlead grooved sharp, remote or clutch uncertain, rope crossed on the drum",
        ),
        (
            "Winch the rope passes through",
            has(|item| item.kind == KitKind::Winch && item.rig.rope_through),
            "jaws worn or slipping, rope of another thickness, lever bent, shear pins not the maker’s",
        ),
        (
            "Anchors",
            has(|item| item.kind == KitKind::GroundAnchor),
            "pickets bent or mushroomed; ground wetter or softer than when it was tested; tree dead, split or leaning",
        ),
        (
            "Recovery points",
            true,
            "bolts loose or of unknown grade, cracks, elongated holes, welding not the maker’s",
        ),
    ];
    rules.into_iter().filter(|(_, there, _)| *there).map(|(kind, _, retire)| Rule { kind, retire }).collect()
}

/// The set that a sort of anchor is.
fn pickets_of(sort: AnchorSort) -> Option<Pickets> {
    match sort {
        AnchorSort::Picket => Some(Pickets::One),
        AnchorSort::Pickets111 => Some(Pickets::OneOneOne),
        AnchorSort::Pickets321 => Some(Pickets::ThreeTwoOne),
        AnchorSort::Buried | AnchorSort::Tree | AnchorSort::Rock => None,
    }
}
