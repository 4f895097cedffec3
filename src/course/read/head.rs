//! Reading what the day is called and how its pages look.

use crate::course::cursor::{Field, Fields, Form, Noted, Read, start_of};
use crate::course::{Issue, Name, Paper, Passage, Remark};
use crate::quantity::UnitSystem;

/// What `course:` holds.
pub(super) struct Head {
    pub(super) title: Name,
    pub(super) club: Name,
    pub(super) site: Remark,
    pub(super) version: Issue,
    pub(super) prepared_by: Option<Name>,
    pub(super) outcomes: Vec<Passage>,
    pub(super) entry_requirements: Vec<Passage>,
    pub(super) units: UnitSystem,
    pub(super) paper: Paper,
    pub(super) accent: Option<[u8; 3]>,
    pub(super) logo: Option<String>,
    pub(super) seed: u64,
}

/// The `course:` part.
pub(super) fn head(field: &Field) -> Read<Head> {
    let mut fields = Fields::of(field, "`course`")?;
    let title = fields.required("title", "title: Quarry day", Field::text);
    let club = fields.required("club", "club: Hill club", Field::text);
    let site = fields.required("site", "site: Old quarry, gate on the lane", Field::text);
    let version = fields.optional("version", Field::text);
    let prepared_by = fields.optional("prepared-by", Field::text);
    let units = fields.optional("units", |field| {
        field.choice(&[("metric", UnitSystem::Metric), ("imperial", UnitSystem::Imperial)])
    });
    let paper = fields.optional("paper", |field| {
        field.choice(&[("a4", Paper::A4), ("letter", Paper::Letter), ("us-letter", Paper::Letter)])
    });
    let accent = fields.optional("accent", |field| colour(&field));
    let logo = fields.optional("logo", Field::picture);
    let seed = fields.optional("seed", |field| field.whole::<u64>(0, u64::from(u32::MAX)));
    let outcomes = fields.optional_list("outcomes", Field::texts);
    let entry_requirements = fields.optional_list("entry-requirements", Field::texts);
    fields.finish();
    Ok(Head {
        title: title?,
        club: club?,
        site: site?,
        version: version?.unwrap_or_else(|| "1".into()),
        prepared_by: prepared_by?,
        outcomes: outcomes?,
        entry_requirements: entry_requirements?,
        units: units?.unwrap_or_default(),
        paper: paper?.unwrap_or_default(),
        accent: accent?,
        logo: logo?,
        seed: seed?.unwrap_or(1),
    })
}

/// A colour as six hexadecimal digits, with or without `#`.
pub(super) fn colour(field: &Field) -> Read<[u8; 3]> {
    field.form(|| Form::Shaped("^\\s*#?[0-9a-fA-F]{6}\\s*$".to_owned()));
    let word = field.word("'#2f6b4f' in quotes")?;
    let digits = word.strip_prefix('#').unwrap_or(word);
    let value =
        u32::from_str_radix(digits, 16).ok().filter(|_| digits.len() == 6 && !digits.starts_with('+'));
    let value = value.ok_or_else(|| -> Noted {
        let message = format!("`{}`: `{}` is not a colour", field.name, start_of(word));
        field.problem(message, "write six hexadecimal digits in quotes: '#2f6b4f'")
    })?;
    let [_, red, green, blue] = value.to_be_bytes();
    Ok([red, green, blue])
}
