//! Forms beside each other: what they share, what one question tells of another, what guessing by a rule earns. Two
//! hundred forms over three courses and twenty random ones, with a table of it.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use slopepack::course::{Course, read_text};
use slopepack::engine::reckon;
use slopepack::paper::{
    Body, Drawing, Form, Lot, Overlap, Plan, Question, Run, Shortfall, built_in, families, forms, plan,
};
use slopepack::quantity::{Angle, Mass};

const COURSES: [(&str, &str); 3] = [
    ("quarry-day", include_str!("../courses/quarry-day.yaml")),
    ("hill-club-weekend", include_str!("../courses/hill-club-weekend.yaml")),
    ("six-slope-saturday", include_str!("../courses/six-slope-saturday.yaml")),
];
/// Forms of each course: 23 × 9 are 207.
const FORMS: usize = 9;
const RANDOM: u64 = 20;

pub(crate) struct Drawn {
    pub name: String,
    pub course: Course,
    pub forms: Vec<Form>,
}

fn draw(course: &Course, count: usize, seed: u64) -> Result<(Plan, Vec<Form>), Shortfall> {
    let families = families(course, &reckon(course), &built_in());
    let plan = plan(&course.papers, &families, seed).map_err(|mut short| short.remove(0))?;
    let forms = forms(&plan, &families, &Run::of(&course.papers, count, seed))?;
    Ok((plan, forms))
}

/// One of the courses with other masses and other grades.
fn random_course(number: u64) -> Course {
    let mut lot = Lot::new(number, 77);
    let mut course = read_text(COURSES[lot.below(3)].1).unwrap();
    let share = |lot: &mut Lot| 0.9 + 0.002 * lot.below(101) as f64;
    for vehicle in &mut course.vehicles {
        vehicle.mass = Mass::new(vehicle.mass.si() * share(&mut lot));
    }
    for stretch in course.slopes.iter_mut().flat_map(|slope| &mut slope.stretches) {
        stretch.gradient = Angle::new(stretch.gradient.si() * share(&mut lot));
    }
    course
}

pub(crate) fn all() -> &'static [Drawn] {
    static DRAWN: OnceLock<Vec<Drawn>> = OnceLock::new();
    DRAWN.get_or_init(|| {
        let ours = COURSES.iter().map(|(name, text)| ((*name).to_owned(), read_text(text).unwrap()));
        let random = (1..=RANDOM).map(|number| (format!("random {number}"), random_course(number)));
        ours.chain(random)
            .zip(100..)
            .map(|((name, course), seed)| {
                let (_, forms) =
                    draw(&course, FORMS, seed).unwrap_or_else(|why| panic!("{name}: {}", why.message));
                Drawn { name, course, forms }
            })
            .collect()
    })
}

/// Options as printed; none of numbers and orders.
fn options(question: &Question) -> Vec<&str> {
    match &question.body {
        Body::Choice(options) | Body::Truth { reasons: options, .. } => {
            options.iter().map(|option| option.text.as_str()).collect()
        }
        _ => Vec::new(),
    }
}

/// Numbers with the word behind each, read afresh from a text.
fn numbers(text: &str) -> Vec<(f64, String)> {
    let spaced: String =
        text.chars()
            .flat_map(|c| if c == '°' || c == '%' { vec![' ', c, ' '] } else { vec![c] })
            .map(|c| {
                if matches!(c, ',' | '?' | '"' | ':' | ';' | '(' | ')') || c.is_whitespace() {
                    ' '
                } else {
                    c
                }
            })
            .collect();
    let words: Vec<&str> = spaced.split(' ').filter(|word| !word.is_empty()).collect();
    (0..words.len())
        .filter_map(|at| {
            let value = words[at].trim_end_matches('.').parse().ok()?;
            Some((value, words.get(at + 1).map_or("", |next| next.trim_end_matches('.')).to_owned()))
        })
        .collect()
}

/// Every number a question shows, with its unit, and whether it stands in a sentence, where a number without a unit
/// could be anything.
fn shown(question: &Question) -> Vec<(f64, String, bool)> {
    let told =
        |all: Vec<(f64, String)>, said: bool| all.into_iter().map(move |(value, unit)| (value, unit, said));
    let mut all: Vec<_> = told(numbers(&question.variant.ask), true).collect();
    for (_, value) in &question.variant.data {
        all.extend(told(numbers(&value.text()), false));
    }
    let valued = question.variant.numeric_key().is_some();
    all.extend(options(question).into_iter().flat_map(|text| told(numbers(text), !valued)));
    if let Some(Drawing::Ladder { unit, gears }) = &question.variant.drawing {
        all.extend(gears.iter().map(|(_, speed)| (*speed, (*unit).to_owned(), false)));
    }
    all
}

/// The value asked for, with its unit.
fn key(question: &Question) -> Option<(f64, String)> {
    question.variant.numeric_key().and_then(|key| numbers(&key).into_iter().next())
}

#[test]
fn no_number_on_a_form_tells_the_answer_of_another_question() {
    for drawn in all() {
        for form in &drawn.forms {
            for (asked, secret) in form.questions.iter().filter_map(|one| Some((one, key(one)?))) {
                for other in form.questions.iter().filter(|one| one.slot != asked.slot) {
                    for (value, unit, said) in shown(other) {
                        let measured = slopepack::quantity::unit_named(&unit).is_some();
                        let same = unit == secret.1 || said && !measured;
                        let near = (value / secret.0 - 1.0).abs() <= 0.02;
                        assert!(
                            !(same && near),
                            "{} {}: `{}` shows {value} {unit}, the answer of `{}` is {secret:?}",
                            drawn.name,
                            form.code,
                            other.variant.name,
                            asked.variant.name
                        );
                    }
                }
            }
        }
    }
}

/// Pairs that sat on one form and gave each other away, found by sitting two papers.
#[test]
fn no_sentence_on_a_form_tells_the_answer_of_another_question() {
    let pairs = [
        ("bank/truth-heavy-tips", "bank/side-which"),
        ("bank/loose-shorter", "bank/truth-lock-shortest"),
        ("bank/block-anchor", "bank/truth-block-winch"),
        ("bank/back-end-out", "bank/nothing-answers"),
    ];
    for drawn in all() {
        for form in &drawn.forms {
            let has = |name: &str| form.questions.iter().any(|one| one.variant.task() == name);
            for (one, other) in pairs {
                assert!(!(has(one) && has(other)), "{} {}: {one} and {other}", drawn.name, form.code);
            }
            // The scale of a vehicle's creep speeds shows what a choice of its gears asks for.
            for scale in form.questions.iter().filter(|one| one.variant.name.starts_with("read-ladder/")) {
                let Some(Drawing::Ladder { gears, .. }) = &scale.variant.drawing else { panic!("a scale") };
                assert!(gears.iter().all(|(gear, _)| options(scale).contains(&gear.as_str())));
            }
        }
    }
}

#[test]
fn a_choice_has_as_many_options_as_the_course_says() {
    for drawn in all() {
        for question in drawn.forms.iter().flat_map(|form| &form.questions) {
            let count = options(question).len();
            let wanted = usize::from(drawn.course.papers.options);
            assert!(
                count == 0 || count == wanted,
                "{}: {}, {count} options",
                drawn.name,
                question.variant.name
            );
        }
    }
}

/// Marks that a rule earns without knowing anything, and those of pure chance, as shares of what is there.
#[derive(Clone, Copy, Default)]
struct Guess {
    earned: f64,
    chance: f64,
    of: f64,
}

impl Guess {
    fn add(&mut self, earned: f64, chance: f64, of: f64) {
        self.earned += earned;
        self.chance += chance;
        self.of += of;
    }

    /// How much better than chance, percentage points.
    fn gain(&self) -> f64 {
        100.0 * (self.earned - self.chance) / self.of.max(1.0)
    }
}

/// Picks the longest option; of several one by chance.
fn longest<'a>(questions: impl Iterator<Item = &'a Question>, longest: bool) -> Guess {
    let mut guess = Guess::default();
    for question in questions {
        let Some(key) = question.key_place() else { continue };
        let lengths: Vec<usize> = options(question).iter().map(|text| text.chars().count()).collect();
        let best = if longest { lengths.iter().max() } else { lengths.iter().min() }.unwrap();
        let tied = lengths.iter().filter(|length| *length == best).count() as f64;
        guess.add(if lengths[key] == *best { 1.0 / tied } else { 0.0 }, 1.0 / lengths.len() as f64, 1.0);
    }
    guess
}

fn falsehood<'a>(questions: impl Iterator<Item = &'a Question>) -> Guess {
    let mut guess = Guess::default();
    for question in questions {
        if let Body::Truth { holds, .. } = &question.body {
            guess.add(f64::from(u8::from(!holds)), 0.5, 1.0);
        }
    }
    guess
}

/// The letter that was right most often, always.
fn letter<'a>(questions: impl Iterator<Item = &'a Question>) -> Guess {
    let mut places: BTreeMap<usize, f64> = BTreeMap::new();
    let mut guess = Guess::default();
    for question in questions {
        let Some(key) = question.key_place() else { continue };
        *places.entry(key).or_default() += 1.0;
        guess.add(0.0, 1.0 / options(question).len() as f64, 1.0);
    }
    guess.earned = places.values().copied().fold(0.0, f64::max);
    guess
}

fn is_number(question: &Question) -> bool {
    question.variant.numeric_key().is_some()
}

#[test]
fn a_blind_rule_earns_no_more_than_chance() {
    let questions = || all().iter().flat_map(|drawn| &drawn.forms).flat_map(|form| &form.questions);
    let words = || questions().filter(|one| !is_number(one));
    let rules = [
        ("the longest option", longest(questions(), true)),
        ("the longest option in words", longest(words(), true)),
        ("the shortest option in words", longest(words(), false)),
        ("claims are false", falsehood(questions())),
        ("the most frequent letter", letter(questions())),
        ("the most frequent letter of numbers", letter(questions().filter(|one| is_number(one)))),
        ("the most frequent letter of words", letter(words())),
    ];
    let told: String = rules
        .iter()
        .map(|(name, guess)| format!("{name:40} {:6.0} answers, {:+.1} points\n", guess.of, guess.gain()))
        .collect::<Vec<_>>()
        .concat();
    println!("{told}");
    for (name, guess) in rules {
        assert!(
            guess.of > 100.0 && guess.gain() < 3.0,
            "{name}: {:.1} points over chance\n{told}",
            guess.gain()
        );
    }
}

/// Which way round a claim stands is drawn for each claim by itself: forms with one side only come as often as by
/// tossing a coin, neither more, as where the bank leans to one side, nor less, as where they are evened out.
#[test]
fn claims_fall_by_lot_on_each_form() {
    let (mut one_sided, mut expected, mut spread, mut forms) = (0.0, 0.0, 0.0, 0.0);
    for form in all().iter().flat_map(|drawn| &drawn.forms) {
        let held: Vec<bool> = form
            .questions
            .iter()
            .filter_map(|one| if let Body::Truth { holds, .. } = &one.body { Some(*holds) } else { None })
            .collect();
        if held.len() < 2 {
            continue;
        }
        let alike = held.iter().all(|holds| *holds == held[0]);
        let chance = 2.0 * 0.5_f64.powi(i32::try_from(held.len()).unwrap());
        one_sided += f64::from(u8::from(alike));
        expected += chance;
        spread += chance * (1.0 - chance);
        forms += 1.0;
    }
    println!("{one_sided} of {forms} forms have claims of one side only, {expected:.1} by tossing a coin");
    assert!(
        forms > 50.0 && (one_sided - expected).abs() < 3.0 * spread.sqrt(),
        "{one_sided} against {expected}"
    );
}

#[test]
fn forms_share_no_more_than_the_cap_where_the_items_allow_it() {
    let mut table: Vec<String> = Vec::new();
    for drawn in all() {
        let overlap = Overlap::of(&drawn.forms);
        let two = Overlap::of(&drawn.forms[..2]);
        let letters = letter(drawn.forms.iter().flat_map(|form| &form.questions));
        table.push(format!(
            "{:20} {} forms of {} questions; share {:4.1} % at most, {:4.1} % in the mean; letter {:+.1} points\n",
            drawn.name,
            drawn.forms.len(),
            drawn.forms[0].questions.len(),
            100.0 * overlap.most,
            100.0 * overlap.mean,
            letters.gain()
        ));
        assert!(two.most <= 0.2 + 1e-9, "{}: two forms share {:.1} %", drawn.name, 100.0 * two.most);
        assert!(overlap.mean <= 0.2, "{}", drawn.name);
    }
    println!("{}", table.concat());
    let forms: usize = all().iter().map(|drawn| drawn.forms.len()).sum();
    assert!(forms >= 200);
}

/// The rank of a value among its options is drawn before the question, so each kind must have a question for every rank.
#[test]
fn every_kind_of_calculated_choice_can_have_its_key_at_every_letter() {
    let mut told: Vec<String> = Vec::new();
    for (name, text) in COURSES {
        let course = read_text(text).unwrap();
        for family in families(&course, &reckon(&course), &built_in()) {
            let mut ranks = [0; 4];
            for variant in &family.variants {
                let slopepack::paper::Stuff::Choice { right, wrong, sized: true } = &variant.stuff else {
                    continue;
                };
                let below = wrong.iter().filter(|one| one.value < right.value).count();
                for (rank, count) in ranks.iter_mut().enumerate() {
                    *count += usize::from(below >= rank && wrong.len() - below >= 3 - rank);
                }
            }
            let sum: usize = ranks.iter().sum();
            if sum > 0 && ranks.contains(&0) {
                told.push(format!("{name}: {} {ranks:?} of {}", family.id, family.variants.len()));
            }
        }
    }
    assert!(told.is_empty(), "{told:?}");
}
