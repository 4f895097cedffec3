//! The club's Saturday: a rota that breaks no limit, is proven shortest, and changes little.

use std::path::Path;
use std::time::Instant;

use slopepack::course::{Course, read};
use slopepack::engine::{Reckoning, reckon};
use slopepack::rota::{Missing, Rota, check, plan};

/// The example of 24 drivers, 6 slopes and 8 marshals, worked.
pub fn saturday() -> (Course, Reckoning) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("courses/six-slope-saturday.yaml");
    let course = read(&path).map_err(|unread| format!("{:?}", unread.failure)).expect("it reads").course;
    let reckoning = reckon(&course);
    (course, reckoning)
}

#[test]
fn the_saturday_of_24_drivers_has_a_rota_proven_shortest() {
    let (course, reckoning) = saturday();
    let begun = Instant::now();
    let rota = plan(&course, &reckoning).map_err(|clash| clash.to_string()).expect("a rota");
    let took = begun.elapsed();
    println!("{took:?} {} of {} slots, bound {:?}", rota.length(), rota.slots.len(), rota.bound);
    assert_eq!(check(&course, &reckoning, &rota, &Missing::default()), []);
    assert!(rota.proven && rota.gap() <= 0.05);
    assert!(took.as_secs() < 10, "{took:?}");
    let _: Rota = rota;
}
