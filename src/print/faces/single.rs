//! One face out of a collection.

use skrifa::FontRef;

/// Bytes of the head of a font, and of each entry of its directory (OpenType, "Table Directory").
const HEAD: usize = 12;
const ENTRY: usize = 16;

/// The face of this number in a file, as a file of its own: a collection holds many families, and every one of
/// them would cost the typesetter time. None when the file is no font.
pub(super) fn single(file: &[u8], number: u32) -> Option<Vec<u8>> {
    if !file.starts_with(b"ttcf") {
        return FontRef::new(file).ok().map(|_| file.to_vec());
    }
    let font = FontRef::from_index(file, number).ok()?;
    let directory = font.table_directory();
    let mut face = Vec::new();
    face.extend(directory.sfnt_version().to_be_bytes());
    face.extend(directory.num_tables().to_be_bytes());
    // Three numbers for a search by halves.
    for number in [directory.search_range(), directory.entry_selector(), directory.range_shift()] {
        face.extend(number.to_be_bytes());
    }
    let records = directory.table_records();
    face.resize(HEAD + ENTRY * records.len(), 0);
    for (at, record) in records.iter().enumerate() {
        let from = record.offset() as usize;
        let content = file.get(from..from.checked_add(record.length() as usize)?)?;
        let entry = [
            u32::from_be_bytes(record.tag().into_bytes()),
            record.checksum(),
            u32::try_from(face.len()).ok()?,
            record.length(),
        ];
        let place = HEAD + ENTRY * at;
        face[place..place + ENTRY].copy_from_slice(&entry.map(u32::to_be_bytes).concat());
        face.extend(content);
        face.resize(face.len().next_multiple_of(4), 0);
    }
    FontRef::new(&face).is_ok().then_some(face)
}
