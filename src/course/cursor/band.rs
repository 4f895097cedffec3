//! A number known only as a range.

use super::{Field, Fields, Form, Read};
use crate::course::Band;
use crate::course::tree::Value;
use crate::quantity::{Ratio, parse_range};

impl<'a> Field<'a> {
    /// A plain number known as a range: `0.5`, `0.4–0.6` or `{low: 0.4, likely: 0.5, high: 0.6}`.
    pub(in crate::course) fn band(&self, low: f64, high: f64) -> Read<Band> {
        let band = if matches!(self.node.value, Value::Map(_)) {
            self.band_of_three()?
        } else {
            self.band_of_two()?
        };
        if band.low < low || band.high > high {
            return Err(self.problem(
                format!("`{}`: {} to {} is hardly possible", self.name, band.low, band.high),
                format!("expected within {low} to {high}"),
            ));
        }
        Ok(band)
    }

    fn band_of_two(&self) -> Read<Band> {
        self.form(|| Form::Range);
        let (low, high) = parse_range(self.word("0.4–0.6")?).map_err(|error| self.parse_problem(error))?;
        Ok(Band::new(low, f64::midpoint(low, high), high))
    }

    fn band_of_three(&self) -> Read<Band> {
        let mut fields = Fields::of(self, "a range")?;
        let number = |field: Field<'a>| -> Read<f64> { Ok(field.within::<Ratio>("0", "1000")?.si()) };
        let low = fields.required("low", "low: 0.4", number);
        let likely = fields.optional("likely", number);
        let high = fields.required("high", "high: 0.6", number);
        fields.finish();
        let (low, high) = (low?, high?);
        let likely = likely?.unwrap_or(f64::midpoint(low, high));
        if low > likely || likely > high {
            return Err(self.problem(
                format!("`{}` falls: {low}, {likely}, {high}", self.name),
                "low, likely and high must not fall",
            ));
        }
        Ok(Band::new(low, likely, high))
    }
}
