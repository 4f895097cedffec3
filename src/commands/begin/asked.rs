//! The questions at a terminal: what the options leave open, each with what stands if nothing is answered.

use std::io::{BufRead, Write};

use super::starter::{Comes, Ground, Starter, surface};
use crate::cli::BeginArgs;
use crate::problem::Failure;

/// Asks for what the options leave open.
///
/// # Errors
/// The terminal cannot be read or written; an option cannot be read.
pub(super) fn ask(args: &BeginArgs, from: &mut dyn BufRead, to: &mut dyn Write) -> Result<Starter, Failure> {
    let mut talk = Talk { from, to };
    let mut starter = Starter::of(args)?;
    talk.say("Enter takes what stands in brackets. Everything can be changed in the file afterwards.\n")?;
    if args.title.is_none() {
        starter.title = talk.line("What is the day called", &starter.title)?;
    }
    if args.club.is_none() {
        starter.club = talk.line("Which club or school", &starter.club)?;
    }
    if args.site.is_none() {
        starter.site = talk.line("Where do people find it", &starter.site)?;
    }
    if args.units.is_none() {
        talk.one_of("Pages in metric or imperial units", &["metric", "imperial"])?
            .clone_into(&mut starter.units);
        starter.imperial = starter.units == "imperial";
    }
    if args.paper.is_none() {
        let papers = if starter.imperial { ["letter", "A4"] } else { ["A4", "letter"] };
        talk.one_of("Paper", &papers)?.clone_into(&mut starter.paper);
    }
    if args.slopes.is_empty() {
        let ground = match &args.ground {
            Some(ground) => ground.clone(),
            None => talk.read("What ground are the slopes", "earth-dry", surface)?,
        };
        let asked =
            "A slope: name, length, gradient, run-out if measured, like `North bank, 40 m, 12°, 30 m`";
        let told = talk.several(asked, |line| Ground::read(line, &ground))?;
        if !told.is_empty() {
            starter.slopes = told;
        }
    }
    if args.vehicles.is_empty() {
        let asked = "A vehicle: name, class and `low range` if it has one, like `blue wagon, wagon, low range`; \
             short-wheelbase, wagon, pickup, van or truck";
        let told = talk.several(asked, Comes::read)?;
        if !told.is_empty() {
            starter.vehicles = told;
        }
    }
    starter.name_apart();
    Ok(starter)
}

/// A conversation line by line.
struct Talk<'a> {
    from: &'a mut dyn BufRead,
    to: &'a mut dyn Write,
}

impl Talk<'_> {
    fn say(&mut self, text: &str) -> Result<(), Failure> {
        let told = self.to.write_all(text.as_bytes()).and_then(|()| self.to.flush());
        told.map_err(|why| Failure::Files(format!("cannot ask: {why}")))
    }

    /// One answer; nothing when Enter alone was pressed, or the answers have ended.
    fn answer(&mut self, asked: &str) -> Result<String, Failure> {
        self.say(asked)?;
        let mut line = String::new();
        self.from
            .read_line(&mut line)
            .map_err(|why| Failure::Files(format!("cannot read the answer: {why}")))?;
        Ok(line.trim().to_owned())
    }

    fn line(&mut self, asked: &str, otherwise: &str) -> Result<String, Failure> {
        let answer = self.answer(&format!("{asked} [{otherwise}]: "))?;
        Ok(if answer.is_empty() { otherwise.to_owned() } else { answer })
    }

    /// Asks until the answer can be read.
    fn read<T>(
        &mut self,
        asked: &str,
        otherwise: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Failure> {
        loop {
            match read(&self.line(asked, otherwise)?) {
                Ok(answer) => return Ok(answer),
                Err(why) => self.say(&format!("  {why}\n"))?,
            }
        }
    }

    /// The first choice stands if nothing is answered.
    fn one_of<'w>(&mut self, asked: &str, words: &[&'w str]) -> Result<&'w str, Failure> {
        let read = |answer: &str| {
            let found = words.iter().find(|word| word.eq_ignore_ascii_case(answer));
            found.copied().ok_or_else(|| format!("write {}", words.join(" or ")))
        };
        self.read(asked, words[0], read)
    }

    /// Answers until an empty one.
    fn several<T>(
        &mut self,
        asked: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Vec<T>, Failure> {
        let mut told = Vec::new();
        loop {
            let more = if told.is_empty() { "none yet: examples" } else { "that is all" };
            let answer = self.answer(&format!("{asked} [{more}]: "))?;
            if answer.is_empty() {
                return Ok(told);
            }
            match read(&answer) {
                Ok(one) => told.push(one),
                Err(why) => self.say(&format!("  {why}\n"))?,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::UnitSystem;

    fn asked(answers: &str) -> (Starter, String) {
        let mut said = Vec::new();
        let starter = ask(&BeginArgs::default(), &mut answers.as_bytes(), &mut said).expect("it asks");
        (starter, String::from_utf8(said).expect("it is text"))
    }

    #[test]
    fn what_is_answered_stands_in_the_course() {
        let answers = "Mud day\nHill friends\nThe pit\nimperial\n\ngrass-wet\nBank, 100 ft, 9°\n\nred one, pickup\nred one, van\n\n";
        let (starter, _) = asked(answers);
        let text = starter.text(std::path::Path::new("d/course.yaml")).expect("it fills");
        let course = crate::course::read_text(&text).expect("it reads");
        assert_eq!(course.title.full(), "Mud day");
        assert_eq!(course.units, UnitSystem::Imperial);
        assert_eq!(course.slopes[0].surface, "grass-wet");
        assert!(course.slopes[0].run_out.is_none());
        let ids: Vec<_> = course.vehicles.iter().map(|vehicle| vehicle.id.as_str()).collect();
        assert_eq!(ids, ["red-one", "red-one-2"]);
    }

    #[test]
    fn an_answer_that_cannot_be_read_is_asked_again_with_what_would_be_right() {
        let (starter, said) =
            asked("\n\n\nfeet\nmetric\n\nmoon\n\nBank, 40 m\nBank, 40, 9°\nBank, 40 m, 9°\n\n\n");
        assert!(
            said.contains("write metric or imperial") && said.contains("no ground of the library"),
            "{said}"
        );
        assert!(said.contains("write name, length and gradient") && said.contains("unit"), "{said}");
        assert_eq!(starter.slopes.len(), 1);
    }

    #[test]
    fn answers_that_end_early_leave_something_to_change() {
        let (starter, _) = asked("Short day\n");
        assert_eq!(
            (starter.title.as_str(), starter.slopes.len(), starter.vehicles.len()),
            ("Short day", 2, 2)
        );
    }
}
