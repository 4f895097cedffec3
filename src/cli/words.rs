//! Words of the command line that are read as what they mean.

/// What the pages of a first course show, by the words people have for it.
pub(super) fn units(text: &str) -> Result<String, String> {
    match text.to_lowercase().as_str() {
        "metric" | "si" => Ok("metric".to_owned()),
        "imperial" | "us" | "uk" => Ok("imperial".to_owned()),
        _ => Err("write metric or imperial".to_owned()),
    }
}

/// Minutes since midnight of a clock time.
pub(super) fn clock(text: &str) -> Result<u16, String> {
    let read = |text: &str| -> Option<u16> {
        let (hours, minutes) = text.split_once(':')?;
        let (hours, minutes): (u16, u16) = (hours.parse().ok()?, minutes.parse().ok()?);
        (hours < 24 && minutes < 60).then_some(hours * 60 + minutes)
    };
    read(text).ok_or_else(|| "write a time of the 24-hour clock: 11:05".to_owned())
}

/// A clock time as every sheet writes it.
pub(super) fn clock_words(text: &str) -> Result<String, String> {
    clock(text).map(|minutes| format!("{:02}:{:02}", minutes / 60, minutes % 60))
}
