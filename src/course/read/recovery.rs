//! Reading the course's rules for recoveries.

use crate::course::cursor::{Field, Fields, Read};
use crate::course::{MissingKit, NotFetched, RecoveryRules, UncheckedKit};
use crate::quantity::{Share, Time};

/// `recovery: {margin: 20 %, rated-point: required, not-fetched: no-go, missing-kit: refuse,
/// unchecked-kit: refuse, longest: 3 h, most-settings: 4}`.
pub(super) fn recovery(field: &Field) -> Read<RecoveryRules> {
    let mut fields = Fields::of(field, "`recovery`")?;
    let usual = RecoveryRules::default();
    let margin = fields.optional("margin", |field| field.within::<Share>("0 %", "50 %"));
    let rated_point =
        fields.optional("rated-point", |field| field.choice(&[("required", true), ("wanted", false)]));
    let not_fetched = fields.optional("not-fetched", |field| {
        field.choice(&[("say", NotFetched::Say), ("no-go", NotFetched::NoGo)])
    });
    let missing_kit = fields.optional("missing-kit", |field| {
        field.choice(&[("say", MissingKit::Say), ("refuse", MissingKit::Refuse)])
    });
    let unchecked_kit = fields.optional("unchecked-kit", |field| {
        field.choice(&[("say", UncheckedKit::Say), ("refuse", UncheckedKit::Refuse)])
    });
    let longest = fields.optional("longest", |field| field.within::<Time>("10 min", "24 h"));
    let most_settings = fields.optional("most-settings", |field| field.whole::<u32>(1, 50));
    fields.finish();
    Ok(RecoveryRules {
        margin: margin?.map_or(usual.margin, Share::si),
        rated_point: rated_point?.unwrap_or(usual.rated_point),
        not_fetched: not_fetched?.unwrap_or(usual.not_fetched),
        missing_kit: missing_kit?.unwrap_or(usual.missing_kit),
        unchecked_kit: unchecked_kit?.unwrap_or(usual.unchecked_kit),
        longest: longest?.map_or(usual.longest, Time::si),
        most_settings: most_settings?.unwrap_or(usual.most_settings),
    })
}
