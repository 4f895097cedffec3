//! Reading the blueprint of the papers, and files of items.

use super::head::colour;
use crate::course::cursor::{Field, Fields, Log, Names, Read};
use crate::course::papers::{BankAnswer, BankItem, Blueprint, Cell, Level, Theme, Topic, WrongChoice};
use crate::course::tree;
use crate::problem::Problem;
use crate::quantity::Share;

/// Most marks in one cell.
const MOST_MARKS: u64 = 60;

/// The `papers:` part.
pub(super) fn blueprint(field: &Field) -> Read<Blueprint> {
    let usual = Blueprint::default();
    let mut fields = Fields::of(field, "`papers`")?;
    let title = fields.optional("title", Field::text);
    let minutes = fields.optional("minutes", |field| field.whole(5, 600));
    let pass = fields.optional("pass", |field| Ok(field.within::<Share>("1 %", "100 %")?.si()));
    let questions = fields.optional("questions", |field| field.whole(1, 200));
    let options = fields.optional("options", |field| field.whole(3, 5));
    let overlap = fields.optional("overlap", |field| Ok(field.within::<Share>("0 %", "100 %")?.si()));
    let appeal = fields.optional("appeal", Field::whole_text);
    let resit = fields.optional("resit", Field::whole_text);
    let cells = fields.optional("blueprint", |field| cells(&field));
    let formulas = fields.optional("formulas", Field::truth);
    let bank = fields.optional_list("bank", |field| field.list("a file of items", Field::picture));
    let tint = fields.optional("tint", |field| colour(&field));
    fields.finish();
    Ok(Blueprint {
        title: title?.unwrap_or(usual.title),
        minutes: minutes?.unwrap_or(usual.minutes),
        pass: pass?.unwrap_or(usual.pass),
        questions: questions?,
        options: options?.unwrap_or(usual.options),
        overlap: overlap?.unwrap_or(usual.overlap),
        appeal: appeal?.unwrap_or(usual.appeal),
        resit: resit?.unwrap_or(usual.resit),
        cells: cells?.unwrap_or(usual.cells),
        formulas: formulas?.unwrap_or(usual.formulas),
        bank: bank?,
        tint: tint?.unwrap_or(usual.tint),
        place: Some(field.place.clone()),
    })
}

/// Marks by topic, and in it by level.
fn cells(field: &Field) -> Read<Vec<Cell>> {
    let mut fields = Fields::of(field, "the blueprint")?;
    let mut all = Vec::new();
    for (key, topic, _) in Topic::ALL {
        let row = fields.optional(key, |field| {
            let mut row = Fields::of(&field, "a topic of the blueprint")?;
            let levels: Vec<Read<Option<Cell>>> = Level::ALL
                .iter()
                .map(|(key, level)| {
                    let marks = row.optional(key, |field| field.whole(1, MOST_MARKS))?;
                    Ok(marks.map(|marks| Cell { topic, level: *level, marks }))
                })
                .collect();
            row.finish();
            levels.into_iter().collect::<Read<Vec<Option<Cell>>>>()
        });
        all.push(row);
    }
    fields.finish();
    let rows = all.into_iter().collect::<Read<Vec<_>>>()?;
    let cells: Vec<Cell> = rows.into_iter().flatten().flatten().flatten().collect();
    if cells.is_empty() {
        return Err(field.problem("the blueprint asks for no marks", "write gearing: {apply: 4}"));
    }
    Ok(cells)
}

/// Reads a file of items.
///
/// # Errors
/// Every problem in it, in the order of the text.
pub fn read_bank(source: &str) -> Result<Vec<BankItem>, Vec<Problem>> {
    let (root, key_problems) = tree::parse(source).map_err(|problem| vec![problem])?;
    let log = Log::default();
    for problem in key_problems {
        log.note(problem);
    }
    let items = bank(&Field::root(&root, &log));
    let problems = log.into_problems();
    match items {
        Ok(items) if problems.is_empty() => Ok(items),
        _ => Err(problems),
    }
}

/// A file of items.
pub(in crate::course) fn bank(root: &Field) -> Read<Vec<BankItem>> {
    let mut fields = Fields::of(root, "a file of items")?;
    let list = fields.peek("items");
    let _names = Names::in_list("item", list.as_ref());
    let items = fields
        .required("items", "items: [{id: brow-stop, …}]", |field| field.list("an item", |one| item(&one)));
    fields.finish();
    items
}

fn item(field: &Field) -> Read<BankItem> {
    let mut fields = Fields::of(field, "an item")?;
    let topics = Topic::ALL.map(|(key, topic, _)| (key, topic));
    let id = fields.required("id", "id: brow-stop", Field::id);
    let topic = fields.required("topic", "topic: grip", |field| field.choice(&topics));
    let level = fields.required("level", "level: decide", |field| field.choice(&Level::ALL));
    let theme = fields.optional("theme", |field| field.choice(&Theme::JUDGED));
    let outcome = fields.required("outcome", "outcome: Stops before the brow.", Field::whole_text);
    let ease = fields.required("ease", "ease: 60 %", |field| Ok(field.within::<Share>("5 %", "99 %")?.si()));
    let ask = fields.required("ask", "ask: What do you do first?", Field::whole_text);
    let answer = answer(&mut fields);
    let one_of = fields.optional("one-of", Field::id);
    let feedback =
        fields.required("feedback", "feedback: The gear is chosen before the brow.", Field::whole_text);
    let source = fields.required("source", "source: common practice, no source", Field::whole_text);
    fields.finish();
    Ok(BankItem {
        id: id?,
        topic: topic?,
        level: level?,
        theme: theme?,
        outcome: outcome?,
        ease: ease?,
        ask: ask?,
        answer: answer?,
        one_of: one_of?,
        feedback: feedback?,
        source: source?,
    })
}

/// A choice has `right` and `wrong`, an order `steps`, a truth `holds`, `because` and `wrong`, and `turned` if it can be.
fn answer(fields: &mut Fields) -> Read<BankAnswer> {
    if let Some(field) = fields.field("steps") {
        let steps = field.clone().list("the item", Field::whole_text)?;
        if steps.len() < 3 || steps.len() > 8 {
            return Err(field.problem("an order needs three to eight steps", "write them in the right order"));
        }
        let forced = match fields.field("forced") {
            Some(chains) => forced(&chains, steps.len())?,
            None => chain(&(0..steps.len()).collect::<Vec<_>>()),
        };
        return Ok(BankAnswer::Order { steps, forced });
    }
    if let Some(field) = fields.field("holds") {
        let holds = field.truth();
        let turned = fields.optional("turned", Field::whole_text);
        let because = fields.required("because", "because: A locked wheel cannot steer.", Field::whole_text);
        let wrong = wrong(fields);
        return Ok(BankAnswer::Truth { holds: holds?, turned: turned?, because: because?, wrong: wrong? });
    }
    let right = fields.required("right", "right: Stop before the brow.", Field::whole_text);
    let wrong = wrong(fields);
    let (right, wrong) = (right?, wrong?);
    if wrong.iter().any(|option| option.text == right) {
        return Err(fields.problem("wrong", "a wrong option says the same as the right one", "change one"));
    }
    Ok(BankAnswer::Choice { right, wrong })
}

/// Every pair of a chain: each place before all that follow it.
fn chain(places: &[usize]) -> Vec<(usize, usize)> {
    (0..places.len()).flat_map(|a| (a + 1..places.len()).map(move |b| (places[a], places[b]))).collect()
}

/// Chains such as `1 2 4`: step 1 before 2 before 4. Steps that no chain parts may change places.
fn forced(field: &Field, steps: usize) -> Read<Vec<(usize, usize)>> {
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for text in field.list("the item", Field::whole_text)? {
        let places: Option<Vec<usize>> = text
            .split_whitespace()
            .map(|one| one.parse::<usize>().ok().filter(|no| (1..=steps).contains(no)).map(|no| no - 1))
            .collect();
        let Some(places) = places.filter(|places| places.len() > 1) else {
            return Err(
                field.problem("a chain names steps by their numbers", "write '1 2 4': 1 before 2 before 4")
            );
        };
        pairs.extend(chain(&places));
    }
    for via in 0..steps {
        for first in 0..steps {
            for last in 0..steps {
                if pairs.contains(&(first, via)) && pairs.contains(&(via, last)) {
                    pairs.push((first, last));
                }
            }
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    if pairs.iter().any(|(a, b)| a >= b) {
        return Err(field.problem("the steps as listed break a chain", "list the steps in one right order"));
    }
    Ok(pairs)
}

fn wrong(fields: &mut Fields) -> Read<Vec<WrongChoice>> {
    let options =
        fields.required("wrong", "wrong: [{text: …, why: …}, {text: …, why: …}]", |field| {
            field.list("a wrong option", |one| {
                let mut fields = Fields::of(&one, "a wrong option")?;
                let text = fields.required("text", "text: Brake hard.", Field::whole_text);
                let why = fields.required("why", "why: Hard braking locks the wheels.", Field::whole_text);
                fields.finish();
                Ok(WrongChoice { text: text?, why: why? })
            })
        })?;
    if options.len() < 2 {
        return Err(fields.problem("wrong", "one wrong option is not enough", "give two to four"));
    }
    let same = (1..options.len()).any(|at| options[..at].iter().any(|one| one.text == options[at].text));
    if same {
        return Err(fields.problem("wrong", "two wrong options say the same", "change one of them"));
    }
    Ok(options)
}
