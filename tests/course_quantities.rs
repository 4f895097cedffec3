//! Quantities read as people write them, and grades agree with the published conversions.

use proptest::prelude::*;
use slopepack::quantity::{
    Angle, Area, Digits, Displacement, Energy, Force, HeatCapacity, Length, Mass, Power, Pressure, Ratio,
    Share, Shown, Speed, SpinRate, Temperature, Time, Torque, Written, parse, parse_range,
};

fn si<T: Written>(text: &str) -> f64 {
    parse::<T>(text).unwrap_or_else(|error| panic!("{text}: {error}")).si()
}

#[track_caller]
fn reads<T: Written>(text: &str, expected: f64) {
    let value = si::<T>(text);
    assert!((value - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{text}: {value}, not {expected}");
}

#[test]
fn lengths() {
    for text in [
        "45 m",
        "45m",
        "45 metres",
        "45 Meter",
        "4500 cm",
        "45000mm",
        "0.045 km",
        "45\u{a0}m",
        "45.0\u{202f}m",
    ] {
        reads::<Length>(text, 45.0);
    }
    let man = 70.0 * 0.0254;
    for text in [
        "5'10\"",
        "5' 10\"",
        "5′10″",
        "5’10”",
        "5 ft 10 in",
        "5ft10in",
        "5 feet 10 inches",
        "70 in",
        "70 in.",
        "5'10''",
    ] {
        reads::<Length>(text, man);
    }
    reads::<Length>("6 ft 2 in", 74.0 * 0.0254);
    reads::<Length>("148 ft", 148.0 * 0.3048);
    reads::<Length>("2 ft ½ in", 24.5 * 0.0254);
    reads::<Length>("5' 10 1/2\"", 70.5 * 0.0254);
    reads::<Length>("3/4 in", 0.75 * 0.0254);
    reads::<Length>("½ in", 0.0127);
    reads::<Length>("1½ in", 1.5 * 0.0254);
    reads::<Length>("1 mile", 1609.344);
    reads::<Length>("-8 cm", -0.08);
    reads::<Length>("\u{2212}8 cm", -0.08);
    reads::<Length>(".5 m", 0.5);
}

#[test]
fn masses_times_speeds_and_the_rest() {
    reads::<Mass>("2450 kg", 2450.0);
    reads::<Mass>("2450 KG", 2450.0);
    reads::<Mass>("2.45 t", 2450.0);
    reads::<Mass>("2.45 Tonnes", 2450.0);
    reads::<Mass>("5400 lbs", 5400.0 * 0.453_592_37);
    reads::<Time>("1 h 30 min", 5400.0);
    reads::<Time>("1½ h", 5400.0);
    reads::<Time>("90min", 5400.0);
    reads::<Speed>("18 km/h", 5.0);
    reads::<Speed>("18 kph", 5.0);
    reads::<Speed>("10 MPH", 4.4704);
    reads::<SpinRate>("700 rpm", 700.0 / 60.0);
    reads::<SpinRate>("700 1/min", 700.0 / 60.0);
    reads::<Pressure>("28 psi", 28.0 * 6_894.757_293_168_361);
    reads::<Pressure>("2.8 bar", 280_000.0);
    reads::<Displacement>("2.8 L", 0.0028);
    reads::<Displacement>("2.8 l", 0.0028);
    reads::<Displacement>("2800 cc", 0.0028);
    reads::<Displacement>("171 ci", 171.0 * 0.0254 * 0.0254 * 0.0254);
    reads::<Displacement>("171 cu in", 171.0 * 0.0254 * 0.0254 * 0.0254);
    reads::<Torque>("45 N·m", 45.0);
    reads::<Torque>("45 Nm", 45.0);
    reads::<Area>("1.2 m2", 1.2);
    reads::<Temperature>("20 °C", 293.15);
    reads::<Temperature>("20C", 293.15);
    reads::<Temperature>("68 °F", 293.15);
    reads::<Temperature>("-5 °C", 268.15);
    reads::<HeatCapacity>("490 J/(kg·K)", 490.0);
    reads::<Share>("65 %", 0.65);
    reads::<Share>("65 per cent", 0.65);
    reads::<Ratio>("4.10", 4.1);
    reads::<Ratio>("4.10:1", 4.1);
    reads::<Energy>("500 kJ", 500_000.0);
    reads::<Power>("90 kW", 90_000.0);
}

#[test]
fn loads_may_be_stamped_as_masses() {
    reads::<Force>("35 kN", 35_000.0);
    reads::<Force>("3.5 tf", 3.5 * 9806.65);
    // Standard gravity 9.80665 m/s², exact by definition (3rd CGPM, 1901).
    reads::<Force>("3.5 t", 3.5 * 9806.65);
    reads::<Force>("4000 kg", 4000.0 * 9.806_65);
    reads::<Force>("8000 lb", 8000.0 * 0.453_592_37 * 9.806_65);
    reads::<Force>("8000 lbf", 8000.0 * 4.448_221_615_260_5);
}

#[test]
fn what_cannot_be_read_says_what_would_be_right() {
    #[track_caller]
    fn fails<T: Written>(text: &str, message: &str, help: &str) {
        let error = parse::<T>(text).map(T::si).expect_err(text);
        assert!(error.message.contains(message), "{text}: {error}");
        assert!(error.help.contains(help), "{text}: {error}");
    }
    fails::<Length>("45", "no unit", "write 45 m or 148 ft");
    fails::<Mass>("2450", "no unit", "write 2450 kg or 5401 lb");
    fails::<Speed>("5", "no unit", "write 5 km/h or 3.11 mph");
    fails::<Mass>("2,5 t", "comma", "write 2.5 t");
    fails::<Mass>("2,450 kg", "two ways", "write 2450 kg if it marks thousands, 2.450 kg");
    fails::<Mass>("1,002,450 kg", "commas", "write 1002450 kg");
    fails::<Mass>("1_000 kg", "not a number", "write 1000 kg");
    fails::<Mass>("2 450 kg", "two numbers", "without a space");
    fails::<Mass>("2.4.5 kg", "decimal point", "2.45");
    fails::<Mass>("2.4e3 kg", "power of ten", "write it out");
    fails::<Mass>("28 psi", "pounds per square inch", "kg, t, lb");
    fails::<Mass>("2450 kgg", "not a unit", "2450 kg");
    fails::<Mass>("2450 zorkmids", "not a unit", "kg, t, lb or g");
    fails::<Mass>("2 tons", "a ton may be", "2 t");
    fails::<Mass>("heavy", "does not begin with a number", "45");
    fails::<Mass>(".nan", "reckon", "number");
    fails::<Mass>("-.inf", "reckon", "number");
    fails::<Mass>("", "nothing", "2450 kg");
    fails::<Mass>(&"9".repeat(400), "too large", "smaller");
    fails::<Length>("10 in 5 ft", "larger unit to the smaller", "45 m");
    fails::<Length>("5 MM", "not a unit", "m");
    fails::<Length>("5/0 m", "below the line", "3/4");
    fails::<Temperature>("20°", "which scale", "20 °C or 20 °F");
    fails::<Temperature>("-300 °C", "absolute zero", "20 °C");
    fails::<Share>("0.65", "no unit", "65 %");
    fails::<Share>("65", "no unit", "65 %");
    fails::<Ratio>("4.1 m", "not a plain number", "without a unit");
    fails::<Angle>("22", "degrees or per cent", "22° or 22 %");
    fails::<Angle>("2:5", "begin with 1", "1:2.5");
    fails::<Angle>("1:0", "not a grade", "1:n");
    fails::<Angle>("steep", "number", "45");
    fails::<Angle>("22 rad", "not a grade", "22°");
}

#[test]
fn grades_in_every_spelling() {
    let twenty_two = 22.0_f64.to_radians();
    for text in ["22°", "22 °", "22 deg", "22 degrees", "22º", "+22°", "22° down", "-22° up"] {
        reads::<Angle>(text, twenty_two);
    }
    let forty = libm::atan(0.4);
    for text in
        ["40 %", "40%", "40 percent", "40 per cent", "1:2.5", "1 : 2.5", "1 in 2.5", "1-in-2.5", "1 in 2½"]
    {
        reads::<Angle>(text, forty);
    }
    reads::<Angle>("-5°", -5.0_f64.to_radians());
    reads::<Angle>("−1:20", -libm::atan(0.05));
    reads::<Angle>("5° uphill", -5.0_f64.to_radians());
}

/// θ = atan(p/100), tabulated to 0.001°. Definition of per cent of slope: US Army, Basic Military
/// Police course and Engineer course, "vertical over horizontal × 100".
#[test]
fn per_cent_as_degrees() {
    let table = [
        (5.0, 2.862),
        (7.0, 4.004),
        (10.0, 5.711),
        (12.0, 6.843),
        (15.0, 8.531),
        (20.0, 11.310),
        (25.0, 14.036),
        (30.0, 16.699),
        (40.0, 21.801),
        (45.0, 24.228),
        (55.0, 28.811),
        (60.0, 30.964),
        (70.0, 34.992),
        (75.0, 36.870),
        (80.0, 38.660),
        (100.0, 45.000),
    ];
    for (percent, degrees) in table {
        let read = si::<Angle>(&format!("{percent} %")).to_degrees();
        assert!((read - degrees).abs() < 0.002, "{percent} %: {read}");
    }
}

/// p = 100 tan θ, tabulated to 0.001 %.
#[test]
fn degrees_as_per_cent() {
    let table = [
        (10.0, 17.633),
        (18.0, 32.492),
        (20.0, 36.397),
        (22.0, 40.403),
        (25.0, 46.631),
        (28.0, 53.171),
        (30.0, 57.735),
        (35.0, 70.021),
        (38.0, 78.129),
        (40.0, 83.910),
        (45.0, 100.000),
    ];
    for (degrees, percent) in table {
        let read = 100.0 * libm::tan(si::<Angle>(&format!("{degrees}°")));
        assert!((read - percent).abs() < 0.002, "{degrees}°: {read}");
    }
}

/// θ = atan(1/n): n horizontal for 1 vertical, the convention of plans.
#[test]
fn one_in_n_as_degrees() {
    let table = [
        (1.0, 45.000),
        (3.0, 18.435),
        (5.0, 11.310),
        (6.0, 9.462),
        (8.0, 7.125),
        (10.0, 5.711),
        (12.0, 4.764),
        (20.0, 2.862),
    ];
    for (n, degrees) in table {
        for text in [format!("1:{n}"), format!("1 in {n}")] {
            let read = si::<Angle>(&text).to_degrees();
            assert!((read - degrees).abs() < 0.002, "{text}: {read}");
        }
    }
}

/// Field approximations of J. A. Moss, Manual of Military Training, 2nd revised edition, paragraph
/// 1869: 60° is about 7/4, 45° is 1/1, 30° about 4/7, 15° about 1/4, 5° about 1/12. The tolerance is
/// how far each lies from the tangent; the one for 15° is 7 % low.
#[test]
fn field_approximations() {
    let table = [
        (60.0, 7.0 / 4.0, 0.0184),
        (45.0, 1.0, 0.0005),
        (30.0, 4.0 / 7.0, 0.0064),
        (15.0, 0.25, 0.0184),
        (5.0, 1.0 / 12.0, 0.0047),
    ];
    for (degrees, ratio, tolerance) in table {
        let tangent = libm::tan(si::<Angle>(&format!("{degrees} deg")));
        assert!((tangent - ratio).abs() <= tolerance, "{degrees}°: {tangent} against {ratio}");
    }
}

#[test]
fn ranges() {
    for text in ["0.4–0.6", "0.4-0.6", "0.4 - 0.6", "0.4 to 0.6", "0.4…0.6", "0.4..0.6", "0.4 — 0.6"] {
        assert_eq!(parse_range(text), Ok((0.4, 0.6)), "{text}");
    }
    assert_eq!(parse_range("0.5"), Ok((0.5, 0.5)));
    assert!(parse_range("0.6–0.4").expect_err("falls").help.contains("0.4–0.6"));
    assert!(parse_range("0.4–0.6 m").is_err());
    assert!(parse_range("0.4 0.6").is_err());
    assert!(parse_range("0.4,0.6").is_err());
}

/// Every unit of a quantity, in every spelling, with and without a space.
fn round_trip<T: Written>(value: f64) -> Result<(), TestCaseError> {
    let shown = Shown::of(value, Digits::Significant(6));
    for unit in T::units() {
        let expected = unit.to_si(shown.value);
        for spelling in unit.spellings.iter().chain([&unit.symbol]) {
            for gap in ["", " ", "\u{a0}"] {
                if gap.is_empty() && spelling.starts_with(|c: char| c.is_ascii_digit()) {
                    continue; // `7001/min` is another number
                }
                let text = format!("{}{gap}{spelling}", shown.text);
                let read =
                    parse::<T>(&text).map_err(|error| TestCaseError::fail(format!("{text}: {error}")))?.si();
                prop_assert!(
                    (read - expected).abs() <= 1e-9 * expected.abs(),
                    "{}: {} not {}",
                    text,
                    read,
                    expected
                );
            }
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn every_unit_in_every_spelling_reads_back(value in 0.001..1e6_f64) {
        round_trip::<Length>(value)?;
        round_trip::<Mass>(value)?;
        round_trip::<Time>(value)?;
        round_trip::<Speed>(value)?;
        round_trip::<SpinRate>(value)?;
        round_trip::<Force>(value)?;
        round_trip::<Torque>(value)?;
        round_trip::<Energy>(value)?;
        round_trip::<Power>(value)?;
        round_trip::<Pressure>(value)?;
        round_trip::<Area>(value)?;
        round_trip::<Displacement>(value)?;
        round_trip::<Temperature>(value)?;
        round_trip::<HeatCapacity>(value)?;
        round_trip::<Share>(value)?;
        round_trip::<Ratio>(value)?;
    }

    #[test]
    fn a_grade_reads_back_in_all_three_notations(angle in 0.5..59.0_f64) {
        let slope = libm::tan(angle.to_radians());
        for text in [format!("{angle}°"), format!("{} %", 100.0 * slope), format!("1:{}", 1.0 / slope)] {
            let read = parse::<Angle>(&text).map_err(|error| TestCaseError::fail(format!("{text}: {error}")))?;
            prop_assert!((read.si().to_degrees() - angle).abs() < 1e-9, "{}", text);
        }
    }

    #[test]
    fn any_text_is_read_or_refused_with_help(text in "\\PC{0,40}") {
        fn tried<T: Written>(text: &str) -> Result<(), TestCaseError> {
            match parse::<T>(text) {
                Ok(value) => prop_assert!(value.si().is_finite()),
                Err(error) => prop_assert!(!error.message.is_empty() && !error.help.is_empty()),
            }
            Ok(())
        }
        tried::<Length>(&text)?;
        tried::<Angle>(&text)?;
        tried::<Force>(&text)?;
        tried::<Share>(&text)?;
        tried::<Ratio>(&text)?;
        let _ = parse_range(&text);
    }
}
