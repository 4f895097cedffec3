//! Where faces are looked for.

use std::collections::BTreeSet;
use std::path::Path;

use fontdb::{Database, FaceInfo, Stretch, Style};
use skrifa::string::StringId;
use skrifa::{FontRef, MetadataProvider as _};

use super::single::single;
use super::{Family, Origin};
use crate::print::script::Hand;

/// The families carried in the program, upright and bold: Noto Sans, under the SIL Open Font License 1.1, which
/// lies beside them.
const CARRIED: [(&str, [&[u8]; 2]); 6] = [
    (
        "Noto Sans Arabic",
        [include_bytes!("NotoSansArabic-Regular.ttf"), include_bytes!("NotoSansArabic-Bold.ttf")],
    ),
    (
        "Noto Sans Hebrew",
        [include_bytes!("NotoSansHebrew-Regular.ttf"), include_bytes!("NotoSansHebrew-Bold.ttf")],
    ),
    (
        "Noto Sans Devanagari",
        [include_bytes!("NotoSansDevanagari-Regular.ttf"), include_bytes!("NotoSansDevanagari-Bold.ttf")],
    ),
    ("Noto Sans Thai", [include_bytes!("NotoSansThai-Regular.ttf"), include_bytes!("NotoSansThai-Bold.ttf")]),
    (
        "Noto Sans Armenian",
        [include_bytes!("NotoSansArmenian-Regular.ttf"), include_bytes!("NotoSansArmenian-Bold.ttf")],
    ),
    (
        "Noto Sans Georgian",
        [include_bytes!("NotoSansGeorgian-Regular.ttf"), include_bytes!("NotoSansGeorgian-Bold.ttf")],
    ),
];

/// Regular and bold, as faces tell their weight.
const WEIGHTS: [u16; 2] = [400, 700];

/// What is at hand beside what is carried; looked through when it is first needed.
pub(super) struct Shelf<'a> {
    folder: Option<&'a Path>,
    faces: Option<Database>,
}

impl<'a> Shelf<'a> {
    pub(super) fn of(folder: Option<&'a Path>) -> Self {
        Self { folder, faces: None }
    }

    /// The best family that has all these letters.
    pub(super) fn family(&mut self, hand: Hand, letters: &BTreeSet<char>) -> Option<Family> {
        let wanted = hand.families();
        let carried = CARRIED
            .iter()
            .find(|(name, faces)| wanted.iter().any(|one| one == name) && has(faces[0], letters));
        if let Some((name, faces)) = carried {
            let faces = faces.iter().map(|bytes| (bytes.to_vec(), version(bytes))).collect();
            return Some(Family { name: (*name).to_owned(), origin: Origin::Carried, faces });
        }
        let any = self.folder.is_some();
        let origin = if any { Origin::Folder } else { Origin::Machine };
        let faces = self.looked_through();
        wanted
            .into_iter()
            .chain(any.then(|| names(faces)).into_iter().flatten())
            .find_map(|name| family(faces, &name, letters, origin))
    }

    fn looked_through(&mut self) -> &Database {
        let folder = self.folder;
        self.faces.get_or_insert_with(|| {
            let mut faces = Database::new();
            match folder {
                Some(folder) => faces.load_fonts_dir(folder),
                None => faces.load_system_fonts(),
            }
            faces
        })
    }
}

/// All families, in order.
fn names(faces: &Database) -> BTreeSet<String> {
    faces.faces().filter_map(|face| Some(face.families.first()?.0.clone())).collect()
}

/// A family by name, if its upright face has all these letters.
fn family(faces: &Database, name: &str, letters: &BTreeSet<char>, origin: Origin) -> Option<Family> {
    let mut of_name: Vec<&FaceInfo> = faces
        .faces()
        .filter(|face| face.families.iter().any(|(family, _)| family == name))
        .filter(|face| face.style == Style::Normal && face.stretch == Stretch::Normal)
        .collect();
    // The same of two files wherever they were found first.
    of_name.sort_by_key(|face| (face.post_script_name.clone(), face.index));
    let bytes_of = |weight: u16| -> Option<(u16, Vec<u8>)> {
        let face = of_name.iter().min_by_key(|face| face.weight.0.abs_diff(weight))?;
        let bytes = faces.with_face_data(face.id, single)??;
        Some((face.weight.0, bytes))
    };
    let (weight, regular) = bytes_of(WEIGHTS[0]).filter(|(_, bytes)| has(bytes, letters))?;
    let bold = bytes_of(WEIGHTS[1]).filter(|(bold, bytes)| *bold > weight && has(bytes, letters));
    let all = [Some(regular), bold.map(|(_, bytes)| bytes)];
    let faces = all
        .into_iter()
        .flatten()
        .map(|bytes| (version(&bytes), bytes))
        .map(|(version, bytes)| (bytes, version));
    Some(Family { name: name.to_owned(), origin, faces: faces.collect() })
}

/// Whether a face has all these letters.
fn has(bytes: &[u8], letters: &BTreeSet<char>) -> bool {
    FontRef::new(bytes).is_ok_and(|font| {
        let charmap = font.charmap();
        letters.iter().all(|letter| charmap.map(*letter).is_some())
    })
}

/// The version that a face says it is, without the tools it was made with.
fn version(bytes: &[u8]) -> String {
    let of = |font: FontRef| {
        font.localized_strings(StringId::VERSION_STRING).english_or_first().map(|said| said.to_string())
    };
    let said = FontRef::new(bytes).ok().and_then(of);
    said.and_then(|said| said.split(';').next().map(str::to_owned))
        .unwrap_or_else(|| "Version unknown".to_owned())
}
