//! Everything the documents of a course are made from, worked out once.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use crate::course::{Course, Slope, Vehicle};
use crate::engine::{Pair, Reckoning, reckon};
use crate::formula::Worked;
use crate::lesson::worked_examples;
use crate::pack::sheet::descent::{DescentRow, slides_on};
use crate::pack::sheet::slope::{OnSlope, Question, SlopeSheet};
use crate::pack::sheet::vehicle::VehicleSheet;
use crate::page::chart;
use crate::page::figure::Show;
use crate::page::gallery::{Gallery, Shot};
use crate::page::meta::Meta;
use crate::page::outline::Outline;
use crate::page::words::{line_on_page, named, vehicle_mark};
use crate::recovery::{Depth, Recoveries, recoveries};
use crate::rota::{Change, Clash, Missing, Rota, Shown, best_to_show, plan, replan, shown};

/// A course with its figures, worked examples and sheets.
pub struct Book<'a> {
    /// The course.
    pub course: &'a Course,
    /// First digits of the course file's checksum.
    pub fingerprint: String,
    /// What the engine knows.
    pub reckoning: Reckoning,
    /// Every worked example.
    pub worked: Vec<Worked>,
    /// Who is where when, if the course has a roster and rules for it.
    pub rota: Option<Rota>,
    /// What differs from the rota made before, on the day itself.
    pub change: Option<Change>,
    /// How figures are shown.
    pub(crate) show: Show,
    pub(crate) slopes: Vec<SlopeSheet>,
    pub(crate) vehicles: Vec<VehicleSheet>,
    logo: Option<Shot>,
    recoveries: OnceLock<Recoveries>,
}

impl<'a> Book<'a> {
    /// Works the course; `fingerprint` stands on every sheet.
    pub fn of(course: &'a Course, fingerprint: &str) -> Self {
        let reckoning = reckon(course);
        let worked = worked_examples(course, &reckoning);
        let show = Show::new(course.units);
        let mut book = Self {
            course,
            fingerprint: fingerprint.to_owned(),
            reckoning,
            worked,
            rota: None,
            change: None,
            show,
            slopes: Vec::new(),
            vehicles: Vec::new(),
            logo: None,
            recoveries: OnceLock::new(),
        };
        book.slopes = course.slopes.iter().map(|slope| book.slope_sheet(slope)).collect();
        book.vehicles = course.vehicles.iter().map(|vehicle| book.vehicle_sheet(vehicle)).collect();
        book
    }

    /// Makes the rota, and with somebody missing the rota nearest to it. Nothing happens for a course
    /// without a roster or rules.
    ///
    /// # Errors
    /// No rota fits: which limits clash.
    pub fn rotate(&mut self, missing: &Missing) -> Result<(), Clash> {
        if self.course.rota.is_none() || self.course.roster.drivers.is_empty() {
            return Ok(());
        }
        let rota = plan(self.course, &self.reckoning)?;
        if missing.is_empty() {
            self.rota = Some(rota);
            return Ok(());
        }
        let change = replan(self.course, &self.reckoning, &rota, missing)?;
        self.rota = Some(change.rota.clone());
        self.change = Some(change);
        Ok(())
    }

    /// What the demonstration of the rota shows, with a vehicle that is there today.
    pub(crate) fn shown(&self) -> Option<Shown> {
        shown(self.course, &self.reckoning, self.missing())
    }

    /// Who and what is missing today.
    pub(crate) fn missing(&self) -> &Missing {
        static NOBODY: Missing = Missing {
            drivers: BTreeSet::new(),
            people: BTreeSet::new(),
            slopes: BTreeSet::new(),
            vehicles: BTreeSet::new(),
            from: 0,
        };
        self.change.as_ref().map_or(&NOBODY, |change| &change.missing)
    }

    /// The same with the club's mark and the photographs of its slopes.
    #[must_use]
    pub fn with_pictures(mut self, mut gallery: Gallery) -> Self {
        self.logo = gallery.logo;
        for (slope, sheet) in self.course.slopes.iter().zip(&mut self.slopes) {
            sheet.photos = gallery.photographs.remove(&slope.id).unwrap_or_default();
        }
        self
    }

    /// What getting each vehicle back takes, worked out when it is first asked for.
    pub(crate) fn recoveries(&self) -> &Recoveries {
        self.recoveries.get_or_init(|| recoveries(self.course, Depth::Likely))
    }

    /// What every sheet of a document carries.
    pub(crate) fn meta(&self, title: &str, audience: &str, file: &str) -> Meta {
        Meta { logo: self.logo.clone(), ..Meta::of(self.course, title, audience, file, &self.fingerprint) }
    }

    /// The short mark of a slope on pages: `S1`, in the order of the course.
    pub(crate) fn slope_mark(&self, id: &str) -> String {
        let place = self.course.slopes.iter().position(|slope| slope.id == id);
        format!("S{}", place.map_or(0, |place| place + 1))
    }

    /// The short mark of a vehicle on pages: `A` to `Z`, then `A2`, in the order of the course.
    pub(crate) fn vehicle_mark(&self, id: &str) -> String {
        vehicle_mark(self.course, id)
    }

    /// A slope with a vehicle.
    pub(crate) fn pair(&self, slope: &Slope, vehicle: &Vehicle) -> &Pair {
        self.reckoning.pair(&slope.id, &vehicle.id).expect("every slope is reckoned with every vehicle")
    }

    /// The sheet of a slope, by the course's name for it.
    pub(crate) fn slope_sheet_of(&self, id: &str) -> Option<&SlopeSheet> {
        let place = self.course.slopes.iter().position(|slope| slope.id == id)?;
        self.slopes.get(place)
    }

    /// The sheet of a vehicle, by the course's name for it.
    pub(crate) fn vehicle_sheet_of(&self, id: &str) -> Option<&VehicleSheet> {
        let place = self.course.vehicles.iter().position(|vehicle| vehicle.id == id)?;
        self.vehicles.get(place)
    }

    /// The vehicle that shows a slope best, by [`best_to_show`].
    pub(crate) fn lead(&self, slope: &Slope) -> &'a Vehicle {
        let place = best_to_show(self.course, &self.reckoning, slope);
        &self.course.vehicles[place.expect("a checked course has a vehicle")]
    }

    /// The worked example with this name about this slope and vehicle.
    pub(crate) fn example(&self, id: &str, slope: Option<&str>, vehicle: Option<&str>) -> Option<&Worked> {
        self.worked.iter().find(|worked| {
            worked.id == id && worked.slope.as_deref() == slope && worked.vehicle.as_deref() == vehicle
        })
    }

    fn row(&self, slope: &Slope, vehicle: &Vehicle) -> DescentRow {
        DescentRow::of(self, slope, vehicle)
    }

    fn slope_sheet(&self, slope: &Slope) -> SlopeSheet {
        let lead = self.lead(slope);
        let pair = self.pair(slope, lead);
        let on = OnSlope {
            stander: Outline::of(lead),
            descents: self.course.vehicles.iter().map(|vehicle| self.row(slope, vehicle)).collect(),
            tilt: self.tilt(slope),
            questions: self.questions(slope, lead),
            run: chart::run(self.course, slope, lead, pair, self.show),
            side: chart::side(self.course, slope, lead, pair, self.show),
        };
        SlopeSheet::of(self, slope, on)
    }

    /// Greatest side tilt of the fleet on a slope, bumps included, rad.
    fn tilt(&self, slope: &Slope) -> f64 {
        let tilts =
            self.course.vehicles.iter().map(|vehicle| self.pair(slope, vehicle).stability.side_tilt.abs());
        tilts.fold(0.0, f64::max)
    }

    fn questions(&self, slope: &Slope, lead: &Vehicle) -> Vec<Question> {
        let (slope_id, vehicle_id) = (Some(slope.id.as_str()), Some(lead.id.as_str()));
        let plain = |worked: &Worked| line_on_page(&worked.answer().plain);
        let pull = self.example("force-down", slope_id, vehicle_id).map(|worked| Question {
            ask: format!("What pulls {}, down the steepest stretch?", named(self.course, lead)),
            answer: format!("{}.", plain(worked)),
        });
        let stop = self.example("locked-stop", slope_id, vehicle_id).map(|worked| Question {
            ask: "All wheels lock at the brow. How far does it slide, at the likely friction?".to_owned(),
            answer: format!(
                "{}. The mass does not matter; steering is gone all the way.{}",
                plain(worked),
                if slides_on(self.course, slope) {
                    " At the low end of the grip it does not stop here."
                } else {
                    ""
                }
            ),
        });
        let runaway = self.example("locked-runaway", slope_id, vehicle_id).map(|worked| Question {
            ask: "All wheels lock at the brow. Why does it not stop, and how fast is it after the first stretch?".to_owned(),
            answer: format!("Friction is less than the slope’s tangent, so it gains speed: {}.", plain(worked)),
        });
        let limit = self.example("limit-slope-turning", slope_id, None).map(|worked| Question {
            ask: "How steep could this ground be before turning wheels no longer hold?".to_owned(),
            answer: format!("At the likely friction {}; at the low end less.", plain(worked)),
        });
        [pull, stop, runaway, limit].into_iter().flatten().collect()
    }

    fn vehicle_sheet(&self, vehicle: &Vehicle) -> VehicleSheet {
        let rows = self.course.slopes.iter().map(|slope| self.row(slope, vehicle)).collect();
        VehicleSheet::of(self, vehicle, rows)
    }
}
