//! The statistics reproduce published data sets; each row of `tests/published/statistics.csv` names
//! its source.

use std::collections::BTreeMap;

use slopepack::paper::results::statistics::{
    Divisor, Scores, Weights, chance_to_pass, correlation, kappa, lengthening, mean, spearman_brown,
    standard_error, variance,
};

const TABLE: &str = include_str!("published/statistics.csv");

/// Score tables from `pattern:count` pairs.
fn scores(text: &str) -> Scores {
    let mut rows = Vec::new();
    for pair in text.split(';') {
        let (pattern, count) = pair.split_once(':').unwrap();
        let row: Vec<f64> = pattern.chars().map(|c| f64::from(c.to_digit(10).unwrap())).collect();
        rows.extend(vec![row; count.parse().unwrap()]);
    }
    Scores(rows)
}

fn numbers(text: &str, mark: char) -> Vec<f64> {
    text.split(mark).map(|part| part.trim().parse().unwrap()).collect()
}

fn of_test(quantity: &str, set: &Scores) -> Option<f64> {
    let (name, item) =
        quantity.split_once(' ').map_or((quantity, 0), |(name, item)| (name, item.parse().unwrap()));
    let item: usize = usize::saturating_sub(item, 1);
    match name {
        "mean" => mean(&set.totals()),
        "variance-n" => variance(&set.totals(), Divisor::N),
        "kr20" => set.kr20(),
        "kr21" => set.kr21(),
        "alpha" => set.alpha(),
        "sem" => set.standard_error(),
        "sum-pq" => (0..set.items()).map(|item| mean(&set.item(item)).map(|p| p * (1.0 - p))).sum(),
        "difficulty" => set.difficulty(item, 1.0),
        "item-total" => set.item_total(item),
        "item-rest" => set.item_rest(item),
        "alpha-without" => set.alpha_without(item),
        other => panic!("no such quantity: {other}"),
    }
}

fn of_numbers(quantity: &str, inputs: &str) -> Option<f64> {
    let table = || -> Vec<Vec<f64>> { inputs.split('|').map(|row| numbers(row, ',')).collect() };
    match quantity {
        "correlation" => {
            let (totals, item) = inputs.split_once(';').unwrap();
            correlation(&numbers(item, ','), &numbers(totals, ','))
        }
        "kappa" => kappa(&table(), Weights::None).unwrap().kappa,
        "kappa-linear" => kappa(&table(), Weights::Linear).unwrap().kappa,
        "kappa-squared" => kappa(&table(), Weights::Squared).unwrap().kappa,
        "agreed" => Some(kappa(&table(), Weights::None).unwrap().agreed),
        "by-chance" => Some(kappa(&table(), Weights::None).unwrap().by_chance),
        _ => {
            let n = numbers(inputs, ';');
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let chance = || chance_to_pass(n[0] as u32, n[1] as u32, n[2]);
            Some(match quantity {
                "spearman-brown" => spearman_brown(n[0], n[1]),
                "items-needed" => (lengthening(n[0], n[1]) * n[2]).ceil(),
                "sem-of" => standard_error(n[0], n[1]),
                "chance" => chance(),
                "chance-to-fail" => 1.0 - chance(),
                other => panic!("no such quantity: {other}"),
            })
        }
    }
}

#[test]
fn published_data_sets_are_reproduced_to_the_digits_printed() {
    let mut sets = BTreeMap::new();
    let mut checked = 0;
    let mut failures = Vec::new();
    for record in csv::Reader::from_reader(TABLE.as_bytes()).records() {
        let record = record.unwrap();
        let [id, quantity, inputs, expected, tolerance, source] =
            [0, 1, 2, 3, 4, 5].map(|at| record[at].to_owned());
        assert!(source.len() > 8, "{id} names no source");
        if quantity == "data" {
            sets.insert(id, scores(&inputs));
            continue;
        }
        checked += 1;
        if quantity == "frequencies" {
            let totals = sets[&inputs].totals();
            let found: Vec<String> = (0..=5)
                .map(|score| {
                    totals.iter().filter(|t| (**t - f64::from(score)).abs() < 0.5).count().to_string()
                })
                .collect();
            assert_eq!(found.join(";"), expected, "{id}");
            continue;
        }
        let found =
            sets.get(&inputs).map_or_else(|| of_numbers(&quantity, &inputs), |set| of_test(&quantity, set));
        let fits = match (found, expected.parse::<f64>()) {
            (None, Err(_)) => expected == "none",
            (Some(found), Ok(wanted)) => (found - wanted).abs() <= tolerance.parse::<f64>().unwrap() + 1e-12,
            _ => false,
        };
        if !fits {
            failures.push(format!("{id}: {found:?}, published {expected} ({source})"));
        }
    }
    assert!(checked > 90, "{checked} rows");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Mixing the divisors gives other published-looking values; neither may come out.
#[test]
fn the_divisors_are_not_mixed() {
    let table = csv::Reader::from_reader(TABLE.as_bytes())
        .into_records()
        .map(|r| r.unwrap())
        .find(|r| &r[0] == "LSAT6");
    let set = scores(&table.unwrap()[2]);
    assert!((set.kr20().unwrap() - 0.295_952).abs() > 5e-4);
    assert!((set.kr20().unwrap() - set.alpha().unwrap()).abs() < 1e-12);
}

#[test]
fn discrimination_does_not_hang_on_the_order_of_the_rows() {
    // Totals 4 3 3 3 2 2 1 0: a quarter is two candidates; the upper cut goes through three tied at 3.
    let rows = [
        [1, 1, 1, 1],
        [1, 1, 1, 0],
        [0, 1, 1, 1],
        [1, 0, 1, 1],
        [1, 1, 0, 0],
        [0, 0, 1, 1],
        [0, 0, 0, 1],
        [0, 0, 0, 0],
    ];
    let table = |order: &[usize]| {
        Scores(order.iter().map(|at| rows[*at].iter().map(|one| f64::from(*one)).collect()).collect())
    };
    let one = table(&[0, 1, 2, 3, 4, 5, 6, 7]).discrimination(0, 1.0, 0.25).unwrap();
    let other = table(&[7, 3, 6, 2, 5, 1, 4, 0]).discrimination(0, 1.0, 0.25).unwrap();
    // Upper: the one at 4, and one of the three at 3 of whom two are right: (1 + 2/3) / 2. Lower: none.
    assert!((one - 5.0 / 6.0).abs() < 1e-12, "{one}");
    assert!((one - other).abs() < 1e-12);
}

#[test]
fn what_cannot_be_computed_is_none() {
    let same = Scores(vec![vec![1.0, 0.0]; 5]);
    assert_eq!(
        (same.alpha(), same.kr20(), same.item_rest(0), same.standard_error()),
        (None, None, None, None)
    );
    let nobody = Scores(Vec::new());
    assert_eq!((nobody.alpha(), nobody.discrimination(0, 1.0, 0.27)), (None, None));
}
