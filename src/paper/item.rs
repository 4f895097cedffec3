//! A question: as it waits in a family, and as it stands on a paper.

use super::band::Interval;
use crate::course::{Level, Theme, Topic};
use crate::formula::Worked;
use crate::page::Fig;
use crate::quantity::{Shown, Unit};

/// Ends the name of a claim that is put the other way round.
pub(super) const TURNED: &str = "/turned";

/// A question that could be asked.
#[derive(Clone, Debug)]
pub struct Variant {
    /// Its own name.
    pub name: String,
    /// For which place of the learners' quiz it may be drawn, if for one.
    pub theme: Option<Theme>,
    /// Share of learners expected to get it right, 0 to 1: a judgement until there are results.
    pub ease: f64,
    /// What somebody who answers it can do.
    pub outcome: String,
    /// What is asked.
    pub ask: String,
    /// What is given, by name.
    pub data: Vec<(String, Fig)>,
    /// What is read off.
    pub drawing: Option<Drawing>,
    /// What is worked out on the way to the answer: it may stand nowhere else on the paper.
    pub works_out: Vec<Fig>,
    /// Of the questions with this mark a paper holds one at most: each tells what another asks.
    pub one_of: Option<String>,
    /// The full worked answer, where there is one.
    pub worked: Option<Worked>,
    /// The lines of the working as they were told when the paper was printed; empty before that.
    pub told_steps: Vec<String>,
    /// What the learner is told afterwards.
    pub feedback: String,
    /// Where it comes from.
    pub source: String,
    /// How it is answered.
    pub stuff: Stuff,
}

/// How a question is answered, before options are drawn.
#[derive(Clone, Debug)]
pub enum Stuff {
    /// A number with its unit.
    Number(Number),
    /// One of several options.
    Choice {
        /// The right one.
        right: Wrong,
        /// The others.
        wrong: Vec<Wrong>,
        /// Whether options stand in the order of their values.
        sized: bool,
    },
    /// Steps to put in order.
    Order {
        /// The steps in a right order.
        steps: Vec<String>,
        /// Pairs of places: the first must come before the second.
        forced: Vec<(usize, usize)>,
    },
    /// True or false with the reason.
    Truth {
        /// Whether the claim holds.
        holds: bool,
        /// The right reason.
        right: Wrong,
        /// The wrong ones.
        wrong: Vec<Wrong>,
    },
}

/// An option with what choosing it says; of the right one the reason is empty.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrong {
    /// The slip's name.
    pub id: String,
    /// As printed.
    pub text: String,
    /// Its value in the unit printed; 0 for words.
    pub value: f64,
    /// What went wrong, as told to the learner.
    pub why: String,
    /// The step of the working, from 0, at which it is made.
    pub step: usize,
    /// Whether the method was right and only a number or unit was put in wrongly.
    pub careless: bool,
}

/// What is answered with a number.
#[derive(Clone, Debug, PartialEq)]
pub struct Number {
    /// The unit asked for.
    pub unit: &'static Unit,
    /// The answer as the worked lines print it.
    pub key: Shown,
    /// What is accepted, in that unit: every value that a right way of working reaches.
    pub accept: Interval,
    /// What a marker looks at, in that unit: every rounding to three figures or more at each step.
    pub look: Interval,
    /// What each method mark is for.
    pub methods: Vec<String>,
    /// Whether one mark is for the unit.
    pub unit_mark: bool,
    /// What usual slips give and earn.
    pub slips: Vec<ScoredSlip>,
}

/// A slip with what it earns by following through.
#[derive(Clone, Debug, PartialEq)]
pub struct ScoredSlip {
    /// The slip.
    pub wrong: Wrong,
    /// What counts as this slip, in the unit asked for.
    pub accept: Interval,
    /// Marks for the value, without the unit's.
    pub marks: u16,
}

/// What is read off.
#[derive(Clone, Debug, PartialEq)]
pub enum Drawing {
    /// A slope in section on squared paper: rise and run, in squares.
    Section {
        /// Height, squares.
        rise: f64,
        /// Level distance, squares.
        run: f64,
    },
    /// Creep speeds of the gears of one vehicle on a scale: gear and speed.
    Ladder {
        /// Unit of the speeds.
        unit: &'static str,
        /// Gear with its creep speed in that unit.
        gears: Vec<(String, f64)>,
    },
}

impl Drawing {
    /// The numbers said of it in words, or set in the page's source.
    fn numbers(&self) -> Vec<String> {
        match self {
            Self::Section { rise, run } => {
                [rise, run].iter().flat_map(|n| [format!("{n}"), format!("{n:.1}")]).collect()
            }
            Self::Ladder { gears, .. } => gears.iter().map(|(_, speed)| format!("{speed:.1}")).collect(),
        }
    }
}

/// A question as it stands on a paper.
#[derive(Clone, Debug)]
pub struct Question {
    /// The place in the plan, from 0: the same on every form.
    pub slot: usize,
    /// What about.
    pub topic: Topic,
    /// How deep.
    pub level: Level,
    /// Marks.
    pub marks: u16,
    /// The question it was drawn from.
    pub variant: Variant,
    /// How it is answered.
    pub body: Body,
}

/// How a question on a paper is answered.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// A number with its unit.
    Number(Number),
    /// The letter of an option.
    Choice(Vec<Opt>),
    /// Letters in an order: the steps as printed, and a right order of their places.
    Order {
        /// As printed.
        steps: Vec<String>,
        /// Places of the printed steps in a right order, from 0.
        key: Vec<usize>,
        /// Pairs of printed places: the first must come before the second. Every order that keeps
        /// them is right.
        forced: Vec<(usize, usize)>,
    },
    /// `T` or `F`, and the letter of a reason.
    Truth {
        /// Whether the claim holds.
        holds: bool,
        /// The reasons.
        reasons: Vec<Opt>,
    },
}

impl Body {
    /// The place of the right option among those printed, from 0; none where there is no letter to ring.
    pub fn right_letter(&self) -> Option<usize> {
        let (Self::Choice(options) | Self::Truth { reasons: options, .. }) = self else { return None };
        options.iter().position(|one| one.slip.is_none())
    }
}

/// An option as printed: the right one has no slip.
#[derive(Clone, Debug, PartialEq)]
pub struct Opt {
    /// As printed.
    pub text: String,
    /// The slip it stands for: name and what is told to the learner.
    pub slip: Option<(String, String)>,
}

/// The letter of an option or step, from 0.
pub fn letter(place: usize) -> char {
    char::from(b'A' + u8::try_from(place % 26).expect("below 26"))
}

/// How many orders of so many steps keep every forced pair.
pub fn right_orders(count: usize, forced: &[(usize, usize)]) -> usize {
    let full = (1_usize << count) - 1;
    let mut ways = vec![0_usize; full + 1];
    ways[0] = 1;
    for set in 0..full {
        for next in (0..count).filter(|next| set >> next & 1 == 0) {
            let ready = forced.iter().all(|(first, second)| *second != next || set >> first & 1 == 1);
            if ready {
                ways[set | 1 << next] += ways[set];
            }
        }
    }
    ways[full]
}

/// The orders of so many steps that keep every forced pair, at most `most` of them, in the order of their letters.
pub(super) fn every_right_order(count: usize, forced: &[(usize, usize)], most: usize) -> Vec<Vec<usize>> {
    fn grow(
        order: &mut Vec<usize>,
        count: usize,
        forced: &[(usize, usize)],
        most: usize,
        all: &mut Vec<Vec<usize>>,
    ) {
        if order.len() == count {
            all.push(order.clone());
            return;
        }
        for next in 0..count {
            let ready = !order.contains(&next)
                && forced.iter().all(|(first, second)| *second != next || order.contains(first));
            if ready && all.len() < most {
                order.push(next);
                grow(order, count, forced, most, all);
                order.pop();
            }
        }
    }
    let mut all = Vec::new();
    grow(&mut Vec::new(), count, forced, most, &mut all);
    all
}

impl Question {
    /// The place of the right option, from 0; none when it is not answered by options.
    pub fn key_place(&self) -> Option<usize> {
        self.body.right_letter()
    }

    /// Method marks it carries.
    pub fn methods(&self) -> usize {
        match &self.body {
            Body::Number(number) => number.methods.len(),
            _ => 0,
        }
    }

    /// The key as a marker reads it: `43.5`, `B`, `CADB`, `T B`.
    pub fn key_text(&self) -> String {
        let place = || letter(self.key_place().unwrap_or(0));
        match &self.body {
            Body::Number(number) => Fig::new(number.key.text.clone(), number.unit.symbol, false).text(),
            Body::Choice(_) => place().to_string(),
            Body::Order { key, .. } => key.iter().map(|at| letter(*at)).collect(),
            Body::Truth { holds, .. } => format!("{} {}", if *holds { 'T' } else { 'F' }, place()),
        }
    }

    /// The right answer in words or figures.
    pub fn answer_text(&self) -> String {
        match &self.body {
            Body::Number(_) => self.key_text(),
            Body::Choice(options) => options[self.key_place().unwrap_or(0)].text.clone(),
            Body::Order { steps, key, .. } => {
                key.iter().map(|at| steps[*at].as_str()).collect::<Vec<_>>().join(" → ")
            }
            Body::Truth { holds, reasons } => {
                let reason = &reasons[self.key_place().unwrap_or(0)].text;
                format!("{}: {reason}", if *holds { "True" } else { "False" })
            }
        }
    }
}

impl Variant {
    /// What two forms have in common when both ask it: the item, whichever way round its claim is put; a
    /// calculation with its very numbers.
    pub fn task(&self) -> &str {
        self.name.strip_suffix(TURNED).unwrap_or(&self.name)
    }

    /// The lines of its working in plain text; empty when there is none.
    pub fn steps(&self) -> Vec<String> {
        match &self.worked {
            Some(worked) => worked.lines.iter().map(|line| line.plain.clone()).collect(),
            None => self.told_steps.clone(),
        }
    }

    /// The digits of its numeric answer with the unit; none for words.
    pub fn numeric_key(&self) -> Option<String> {
        match &self.stuff {
            Stuff::Number(number) => Some(format!("{} {}", number.key.text, number.unit.symbol)),
            Stuff::Choice { right, sized: true, .. } => Some(right.text.clone()),
            _ => None,
        }
    }

    /// Every number printed with the question, as its digits.
    pub fn printed_numbers(&self) -> Vec<String> {
        let mut texts: Vec<&str> = vec![&self.ask];
        let drawn = self.drawing.as_ref().map(Drawing::numbers).unwrap_or_default();
        texts.extend(drawn.iter().map(String::as_str));
        texts.extend(self.data.iter().map(|(_, value)| value.v.as_str()));
        match &self.stuff {
            Stuff::Choice { right, wrong, .. } | Stuff::Truth { right, wrong, .. } => {
                texts.push(&right.text);
                texts.extend(wrong.iter().map(|one| one.text.as_str()));
            }
            Stuff::Order { steps, .. } => texts.extend(steps.iter().map(String::as_str)),
            Stuff::Number(_) => {}
        }
        texts.into_iter().flat_map(numbers_in).collect()
    }
}

/// The numbers in a text, as digits.
pub fn numbers_in(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_ascii_digit() && c != '.')
        .map(|part| part.trim_matches('.'))
        .filter(|part| !part.is_empty())
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{every_right_order, right_orders};

    #[test]
    fn the_orders_listed_are_those_counted_and_each_keeps_its_pairs() {
        // Every set of pairs over four steps that runs forward: 2⁶ of them.
        let pairs = [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)];
        for set in 0..64_u32 {
            let forced: Vec<(usize, usize)> =
                (0..).zip(pairs).filter(|(bit, _)| set >> bit & 1 == 1).map(|(_, pair)| pair).collect();
            let all = every_right_order(4, &forced, 24);
            assert_eq!(all.len(), right_orders(4, &forced), "{forced:?}");
            for order in &all {
                let place = |step| order.iter().position(|at| *at == step);
                assert!(forced.iter().all(|(a, b)| place(*a) < place(*b)), "{order:?} {forced:?}");
            }
        }
        // Aid and call may change places; nothing else may.
        let accident = [(0, 1), (1, 2), (2, 4), (1, 3), (3, 4)];
        assert_eq!(every_right_order(5, &accident, 4), [[0, 1, 2, 3, 4], [0, 1, 3, 2, 4]]);
    }
}
