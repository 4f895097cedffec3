//! `mark`: mark keyed answers, write results, feedback and item statistics.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use super::letters::{dialect, faces_for};
use super::pack::{STAMP, short};
use super::papers::RECORD;
use super::say::Say;
use super::{put_in_place, read_course};
use crate::beside;
use crate::cli::MarkArgs;
use crate::course::Loaded;
use crate::paper::results::whole::Whole;
use crate::paper::results::{
    answers_csv, by_item_csv, forms_csv, items_csv, remarked_csv, results_csv, standard_csv, to_judge_csv,
    wholes, wholes_csv,
};
use crate::paper::{
    FeedbackSheets, Form, Issue, Marked, Moderation, Observation, Observed, Practical, Record, ResultSheet,
    Results, Ruling, Sitting, Standard, StandardSheet, Unsound, mark, read_answers, read_judgements,
    read_pairs, read_practicals, read_rulings, rule,
};
use crate::print::{About, Faces, Kind, Publication, Rendered, Templates, Typesetter, fingerprint};
use crate::problem::{Failure, Problem, render_problems};

/// Largest file of answers, bytes.
const LARGEST: u64 = 64 << 20;

/// Marks a file of answers against the papers of a folder.
pub(super) fn run(args: &MarkArgs, say: &Say) -> Result<(), Failure> {
    let loaded = read_course(&args.course, say)?;
    let typesetter = if args.only_csv {
        None
    } else {
        let found = Typesetter::find(args.typesetter.typst.as_deref())?;
        Some(found.with_limit(Duration::from_secs(args.typesetter.time_limit)))
    };
    for note in Publication::settle(&args.papers)? {
        say.note(&note);
    }
    let record = record(&args.papers)?;
    let forms = record.forms().map_err(|why| unsound(&args.papers, &why))?;
    same_course(&loaded, args, &record, say)?;
    let keyed = bytes(&args.answers, "read the answers")?;
    let table = read_answers(&keyed);
    let name = args.answers.display().to_string();
    let faces = match &typesetter {
        Some(_) => faces_for(&loaded, Some((&name, &keyed)), args.typesetter.fonts.as_deref(), say)?,
        None => Arc::default(),
    };
    let show = |problems: &[Problem], source: &str, name: &str| {
        say.diagnostics(&render_problems(name, source, problems, say.colour));
    };
    let mut marked = mark(&table, &forms).map_err(|problems| {
        show(&problems, &table.source, &name);
        Failure::Told
    })?;
    show(&marked.problems, &table.source, &name);
    let rulings = match &args.judged {
        Some(path) => rulings(path, &mut marked, &forms, say)?,
        None => Vec::new(),
    };
    let observed = match &args.observations {
        Some(path) => {
            let observed = read_pairs(&bytes(path, "read the observations")?, &loaded.course);
            show(&observed.problems, &observed.source, &path.display().to_string());
            Some(observed)
        }
        None => None,
    };
    let judged = judged(args, &forms, &marked, say)?;
    let results = Results::of(&marked, &forms, &record.terms);
    let written = Written {
        args,
        loaded: &loaded,
        record: &record,
        forms: &forms,
        marked: &marked,
        results: &results,
        rulings: &rulings,
        source: &table.source,
        judged: &judged,
        faces: &faces,
    };
    written.publish(typesetter.as_ref(), observed.as_ref().map(Moderation::of), say)?;
    closing(&marked, observed.as_ref(), &judged, say)
}

/// What persons judged, put into the marked answers.
fn rulings(path: &Path, marked: &mut Marked, forms: &[Form], say: &Say) -> Result<Vec<Ruling>, Failure> {
    let table = read_rulings(&bytes(path, "read the judgements")?);
    rule(marked, forms, &table).map_err(|problems| {
        let name = path.display().to_string();
        say.diagnostics(&render_problems(&name, &table.source, &problems, say.colour));
        Failure::Told
    })
}

/// What was keyed of where the pass mark comes from.
#[derive(Default)]
struct Standards {
    forms: Vec<Standard>,
    practicals: Option<Vec<Practical>>,
    /// Rows that count nowhere.
    lost: usize,
}

impl Standards {
    fn is_none(&self) -> bool {
        self.forms.is_empty() && self.practicals.is_none()
    }
}

/// Judges' sheets and practicals, as far as they were keyed.
fn judged(args: &MarkArgs, forms: &[Form], marked: &Marked, say: &Say) -> Result<Standards, Failure> {
    let mut standards = Standards::default();
    let mut show = |problems: &[Problem], source: &str, path: &Path| {
        standards.lost += problems.len();
        say.diagnostics(&render_problems(&path.display().to_string(), source, problems, say.colour));
    };
    let read = match &args.judges {
        Some(path) => {
            let read = read_judgements(&bytes(path, "read the judges' sheets")?, forms);
            show(&read.problems, &read.source, path);
            read.rows
        }
        None => Vec::new(),
    };
    let practicals = match &args.practical {
        Some(path) => {
            let read = read_practicals(&bytes(path, "read the practicals")?);
            show(&read.problems, &read.source, path);
            Some(read.rows)
        }
        None => None,
    };
    Ok(Standards { forms: Standard::all(&read, forms, marked), practicals, ..standards })
}

/// Rows and cells that were not marked end the run with the code for answers that need mending; the
/// results of the others are written all the same.
fn closing(
    marked: &Marked,
    observed: Option<&Observed>,
    judged: &Standards,
    say: &Say,
) -> Result<(), Failure> {
    let lost = observed.map_or(0, |observed| observed.problems.len());
    if lost > 0 {
        say.diagnostics(&format!("{lost} observations count nowhere until they are mended\n"));
    }
    if judged.lost > 0 {
        say.diagnostics(&format!(
            "{} rows of judges or practicals count nowhere until they are mended\n",
            judged.lost
        ));
    }
    let lost = lost + judged.lost;
    if marked.problems.is_empty() && marked.unmarked.is_empty() {
        return if lost == 0 { Ok(()) } else { Err(Failure::Told) };
    }
    say.diagnostics(&waiting(marked.sittings.len(), marked.unmarked.len(), marked.problems.len()));
    Err(Failure::Told)
}

/// What is marked and what waits for a person: whole rows, and answers of rows that are marked.
fn waiting(rows: usize, unmarked: usize, problems: usize) -> String {
    let answers = problems.saturating_sub(unmarked);
    let mut waits = Vec::new();
    if unmarked > 0 {
        waits.push(format!("{unmarked} rows"));
    }
    if answers > 0 {
        waits.push(if answers == 1 { "1 answer".to_owned() } else { format!("{answers} answers") });
    }
    format!("{rows} rows are marked; in to-judge.csv wait for a person: {}\n", waits.join(", "))
}

fn bytes(path: &Path, doing: &str) -> Result<Vec<u8>, Failure> {
    beside::at_most(path, LARGEST).map_err(|why| match why {
        beside::Refused::Unreadable(why) => Failure::files(doing, path, &why),
        why => Failure::Files(format!("{} {why}; is it the file of answers?", path.display())),
    })
}

fn record(folder: &Path) -> Result<Record, Failure> {
    let path = folder.join("staff").join(RECORD);
    Record::read(&bytes(&path, "read the sealed record")?).map_err(|why| unsound(folder, &why))
}

fn unsound(folder: &Path, why: &Unsound) -> Failure {
    let path = folder.join("staff").join(RECORD);
    let said = match why {
        Unsound::Unreadable(why) => format!("cannot be marked from: {why}"),
        Unsound::Changed(why) => format!(
            "was changed after the papers were printed: {why}. Nothing is marked; take the record from the copy that \
             was put away with the mark schemes"
        ),
    };
    Failure::Course(vec![Problem::new(format!("{} {said}", path.display()))])
}

/// Refuses the papers of another course; says so when the course was changed since.
fn same_course(loaded: &Loaded, args: &MarkArgs, record: &Record, say: &Say) -> Result<(), Failure> {
    let (ours, theirs) = (loaded.course.title.full(), record.terms.course.as_str());
    if ours != theirs {
        return Err(Failure::Course(vec![Problem::new(format!(
            "{} holds papers of the course `{theirs}`, but {} is `{ours}`: name the course the papers belong to",
            args.papers.display(),
            args.course.display()
        ))]));
    }
    let now = fingerprint(loaded.source.as_bytes());
    if record.origin.sources.first().is_some_and(|course| course.sha256 != now) {
        say.note(
            "the course was changed after the papers were printed; marks come from the sealed record alone",
        );
    }
    Ok(())
}

struct Written<'a> {
    args: &'a MarkArgs,
    loaded: &'a Loaded,
    record: &'a Record,
    forms: &'a [Form],
    marked: &'a Marked,
    results: &'a Results,
    rulings: &'a [Ruling],
    source: &'a str,
    judged: &'a Standards,
    faces: &'a Arc<Faces>,
}

impl Written<'_> {
    fn publish(
        &self,
        typesetter: Option<&Typesetter>,
        moderation: Option<Moderation>,
        say: &Say,
    ) -> Result<(), Failure> {
        let (course, forms) = (&self.loaded.course, self.forms);
        let sha256 = fingerprint(self.loaded.source.as_bytes());
        let mut publication = Publication::open(&self.args.into, Kind::Results)?;
        let files = [
            ("results.csv", "Results", results_csv(self.marked, forms, &self.record.terms)),
            ("answers-marked.csv", "Every answer, marked", answers_csv(self.marked, forms)),
            (
                "to-judge.csv",
                "For a person to judge",
                to_judge_csv(self.marked, forms, &self.record.terms, self.source),
            ),
            ("items.csv", "Statistics by place", items_csv(self.results)),
            ("by-item.csv", "Statistics by item, over all forms", by_item_csv(self.marked, forms)),
            ("forms.csv", "Statistics by form", forms_csv(self.marked, forms, &self.record.terms)),
        ];
        for (path, title, text) in &files {
            publication.put(path, title, text.as_bytes())?;
        }
        if !self.judged.is_none() {
            let text =
                standard_csv(&self.judged.forms, self.judged.practicals.as_deref(), forms, self.marked);
            publication.put("standard.csv", "Cut scores and their errors", text.as_bytes())?;
        }
        if self.judged.practicals.is_some() {
            let text = wholes_csv(&self.wholes());
            publication.put("whole.csv", "Theory and practical together", text.as_bytes())?;
        }
        if !self.rulings.is_empty() {
            let text = remarked_csv(self.rulings);
            publication.put("remarked.csv", "Marks given by persons", text.as_bytes())?;
        }
        if let Some(typesetter) = typesetter {
            self.sheets(
                typesetter,
                moderation,
                &short(self.record.digest_on_sheets()),
                &mut publication,
                say,
            )?;
        }
        let about = About {
            typesetter: typesetter.map_or("none", Typesetter::version).to_owned(),
            course: course.title.full().to_owned(),
            course_sha256: sha256,
            seed: None,
            faces: self.faces.told(),
        };
        put_in_place(publication, about, &self.args.into, say)
    }

    /// Theory and practical together, where practicals were keyed.
    fn wholes(&self) -> Vec<Whole> {
        let practicals = self.judged.practicals.as_deref();
        practicals.map_or_else(Vec::new, |keyed| wholes(self.marked, self.forms, &self.record.terms, keyed))
    }

    fn sheets(
        &self,
        typesetter: &Typesetter,
        moderation: Option<Moderation>,
        fingerprint: &str,
        publication: &mut Publication,
        say: &Say,
    ) -> Result<(), Failure> {
        let issue = Issue { course: &self.loaded.course, fingerprint };
        let (forms, terms) = (self.forms, &self.record.terms);
        let templates = Templates::embedded()?.in_dialect(dialect(self.loaded))?.with_faces(self.faces);
        let mut documents: Vec<(String, String, Rendered)> = Vec::new();
        let sheet = ResultSheet::of(&issue, terms, (self.marked, forms), self.results, &self.wholes());
        documents.push((
            "results.pdf".into(),
            "Results".into(),
            templates.render("paper/results.typ.j2", &sheet)?,
        ));
        for (name, sitting) in feedback_files(self.marked).into_iter().zip(&self.marked.sittings) {
            let sheet = FeedbackSheets::of(&issue, terms, sitting, forms);
            let rendered = templates.render("paper/result-feedback.typ.j2", &sheet)?;
            documents.push((name, format!("Feedback for {}", sitting.candidate), rendered));
        }
        if let Some(moderation) = moderation {
            let sheet = Observation::moderated(&issue, moderation);
            documents.push((
                "moderation.pdf".into(),
                "Moderation".into(),
                templates.render("paper/moderation.typ.j2", &sheet)?,
            ));
        }
        if !self.judged.is_none() {
            let practicals = self.judged.practicals.as_deref();
            let sheet =
                StandardSheet::of(&issue, terms, (&self.judged.forms, practicals), self.marked, forms);
            documents.push((
                "standard.pdf".into(),
                "Where the pass mark comes from".into(),
                templates.render("paper/standard.typ.j2", &sheet)?,
            ));
        }
        let workshop = publication.workshop(&templates)?;
        workshop.add_faces(self.faces)?;
        let rendered: Vec<Rendered> = documents.iter().map(|(.., rendered)| rendered.clone()).collect();
        let done = |at: usize| say.progress(&format!("typeset {}", documents[at].1));
        let pdfs = typesetter.pdfs(&workshop, &rendered, STAMP, done)?;
        for ((path, title, _), pdf) in documents.iter().zip(&pdfs) {
            publication.put(path, title, pdf)?;
        }
        Ok(())
    }
}

/// A file of feedback for each candidate, named by what is keyed for them; where two names come to the same, by the
/// line too.
fn feedback_files(marked: &Marked) -> Vec<String> {
    let plain = |text: &str| -> String {
        let kept = text.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' });
        kept.take(40).collect()
    };
    let names: Vec<String> = marked.sittings.iter().map(|one| plain(&one.candidate)).collect();
    let file = |(sitting, name): (&Sitting, &String)| {
        let alone = names.iter().filter(|other| *other == name).count() == 1 && !name.is_empty();
        let line = if alone { String::new() } else { format!("-line-{}", sitting.line) };
        format!("feedback/feedback-{name}{line}.pdf")
    };
    marked.sittings.iter().zip(&names).map(file).collect()
}

#[cfg(test)]
mod tests {
    use super::waiting;

    #[test]
    fn an_answer_that_waits_is_told_where_every_row_is_marked() {
        assert!(waiting(2, 0, 1).ends_with("wait for a person: 1 answer\n"));
        assert!(waiting(2, 1, 4).ends_with("1 rows, 3 answers\n"));
    }
}
