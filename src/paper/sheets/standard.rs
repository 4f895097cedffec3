//! The judges' sheet, and what judging came to.

use serde::Serialize;

use super::Issue;
use super::question::{Item, item};
use crate::page::Meta;
use crate::paper::form::Form;
use crate::paper::item::Question;
use crate::paper::marking::Marked;
use crate::paper::record::Terms;
use crate::paper::results::equate::equated;
use crate::paper::results::judges::{FAR, Standard, UNLIKE};
use crate::paper::results::overall::{FEWEST_BORDERLINE, Practical, cut};

/// The sheet on which one judge writes shares, for one form.
#[derive(Serialize)]
pub struct JudgesSheet {
    pack: Meta,
    code: String,
    total: String,
    items: Vec<Judged>,
}

/// A question with its key, for a judge.
#[derive(Serialize)]
struct Judged {
    question: Item,
    key: String,
}

impl JudgesSheet {
    /// For a form.
    pub fn of(issue: &Issue, form: &Form) -> Self {
        let title = format!("Judges’ sheet {}", form.code);
        let file = format!("judges-{}", form.code.to_lowercase());
        let judged = |(no, question): (usize, &Question)| {
            let printed: Item = item(no, question);
            Judged { question: printed, key: question.key_text() }
        };
        Self {
            pack: issue.meta(&title, "judges, not for learners", &file),
            code: form.code.clone(),
            total: form.total().to_string(),
            items: (1..).zip(&form.questions).map(judged).collect(),
        }
    }
}

/// Where the pass mark comes from, and who stands near it.
#[derive(Serialize)]
pub struct StandardSheet {
    pack: Meta,
    pass: String,
    forms: Vec<FormStandard>,
    /// How forms compare: code and words.
    equated: Vec<[String; 2]>,
    /// What the borderline group of the practical comes to; none where nothing was keyed.
    practical: Option<Vec<[String; 2]>>,
}

#[derive(Serialize)]
struct FormStandard {
    code: String,
    facts: Vec<[String; 2]>,
    /// Round, judge, marks given, remark.
    judges: Vec<[String; 4]>,
    /// Question, judged, spread of the judges, got, remark.
    items: Vec<[String; 5]>,
    /// Candidate, name, marks, distance from the cut.
    near: Vec<[String; 4]>,
}

impl StandardSheet {
    /// Of judged forms, and of practicals where some were keyed.
    pub fn of(
        issue: &Issue,
        terms: &Terms,
        (standards, practicals): (&[Standard], Option<&[Practical]>),
        marked: &Marked,
        forms: &[Form],
    ) -> Self {
        Self {
            pack: issue.meta("Where the pass mark comes from", "assessor only", "standard"),
            pass: format!("{} of {}", terms.pass, terms.total),
            forms: standards.iter().map(|one| form_standard(one, terms, marked, forms)).collect(),
            equated: (1..forms.len())
                .filter_map(|at| {
                    Some([forms[at].code.clone(), equated(marked, forms, at)?.said(terms, forms)])
                })
                .collect(),
            practical: practicals.map(practical),
        }
    }
}

fn form_standard(standard: &Standard, terms: &Terms, marked: &Marked, forms: &[Form]) -> FormStandard {
    let last = standard.last();
    let panel = &last.panel;
    let (low, high) = panel.band;
    let mut facts = vec![
        ["judges in the last round".to_owned(), panel.sums.len().to_string()],
        ["cut".to_owned(), format!("{:.2} of {}", panel.cut, terms.total)],
        ["error of the cut".to_owned(), format!("{:.2} marks", panel.error)],
        ["95 % of such panels would cut between".to_owned(), format!("{low:.1} and {high:.1}")],
        ["first whole mark not below the cut".to_owned(), format!("{:.0}", panel.pass())],
        ["pass mark printed on the papers, which holds".to_owned(), terms.pass.to_string()],
    ];
    if panel.is_provisional() || panel.error > 0.5 {
        let why = if panel.is_provisional() { "fewer than five judges" } else { "an error over half a mark" };
        facts.push(["provisional".to_owned(), why.to_owned()]);
    }
    let judges = standard.rounds.iter().flat_map(|round| {
        round.judges.iter().map(move |(judge, sum, away)| {
            let far = away.filter(|away| away.abs() > FAR);
            let remark = far.map_or_else(String::new, |away| {
                format!(
                    "{:.1} deviations {} the others",
                    away.abs(),
                    if away > 0.0 { "above" } else { "below" }
                )
            });
            [round.number.to_string(), judge.clone(), format!("{sum:.2}"), remark]
        })
    });
    let per_cent = |share: f64| format!("{:.0} %", 100.0 * share);
    let items = standard.items.iter().map(|one| {
        let unlike = one.got.filter(|got| (one.judged - got).abs() > UNLIKE);
        let remark = match unlike {
            Some(got) if got < one.judged => "harder than judged: talk it over",
            Some(_) => "easier than judged: talk it over",
            None if one.spread > UNLIKE => "judges differ: talk it over",
            None => "",
        };
        let got = one.got.map_or_else(|| "–".to_owned(), per_cent);
        [one.no.to_string(), per_cent(one.judged), per_cent(one.spread), got, remark.to_owned()]
    });
    let near = standard.near.iter().map(|at| {
        let one = &marked.sittings[*at];
        let off = f64::from(one.total()) - panel.cut;
        let sign = if off < 0.0 { "−" } else { "+" };
        [one.candidate.clone(), one.name.clone(), one.total().to_string(), format!("{sign}{:.1}", off.abs())]
    });
    FormStandard {
        code: forms[standard.form].code.clone(),
        facts,
        judges: judges.collect(),
        items: items.collect(),
        near: near.collect(),
    }
}

fn practical(rows: &[Practical]) -> Vec<[String; 2]> {
    let mut facts = vec![["practicals keyed".to_owned(), rows.len().to_string()]];
    match cut(rows) {
        Some((median, mean, count)) => {
            facts.push(["called borderline".to_owned(), count.to_string()]);
            facts.push(["cut: median of the borderline group".to_owned(), format!("{median:.1} marks")]);
            facts.push(["mean of the borderline group".to_owned(), format!("{mean:.1} marks")]);
            if count < FEWEST_BORDERLINE {
                facts.push([
                    "provisional".to_owned(),
                    format!("fewer than {FEWEST_BORDERLINE} borderline candidates"),
                ]);
            }
        }
        None => facts.push(["cut".to_owned(), "none: nobody was called borderline".to_owned()]),
    }
    facts
}
