//! Cut scores with their errors, and who stands near them, as a file for spreadsheets.

use super::judges::Standard;
use super::tables::csv_text;
use crate::paper::form::Form;
use crate::paper::marking::Marked;
use crate::paper::results::overall::{Practical, cut};

/// A row for each form and round, then one for the practical, then the candidates near a cut.
pub fn standard_csv(
    standards: &[Standard],
    practicals: Option<&[Practical]>,
    forms: &[Form],
    marked: &Marked,
) -> String {
    let head = ["paper", "method", "round", "n", "cut", "error", "from", "to", "pass mark", "remark"];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for standard in standards {
        let code = forms[standard.form].code.clone();
        for round in &standard.rounds {
            let panel = &round.panel;
            let provisional = if panel.is_provisional() { "provisional: fewer than five judges" } else { "" };
            rows.push(vec![
                code.clone(),
                "panel".to_owned(),
                round.number.to_string(),
                panel.sums.len().to_string(),
                format!("{:.4}", panel.cut),
                format!("{:.4}", panel.error),
                format!("{:.4}", panel.band.0),
                format!("{:.4}", panel.band.1),
                format!("{:.0}", panel.pass()),
                provisional.to_owned(),
            ]);
        }
        for at in &standard.near {
            let one = &marked.sittings[*at];
            let mut row = vec![code.clone(), "near the cut".to_owned()];
            row.resize(8, String::new());
            row.extend([one.total().to_string(), format!("candidate {}", one.candidate)]);
            rows.push(row);
        }
    }
    if let Some((median, mean, count)) = practicals.and_then(cut) {
        let mut row = vec![String::new(), "borderline group".to_owned(), String::new(), count.to_string()];
        row.push(format!("{median:.4}"));
        row.resize(9, String::new());
        row.push(format!("median; the mean is {mean:.4}"));
        rows.push(row);
    }
    csv_text(rows)
}
