//! Why vehicles go with the foot brake, vehicle by vehicle.

use crate::pack::sheet::vehicle::VehicleSheet;

/// Most vehicles whose reasons are listed one by one.
const LISTED: usize = 12;

/// Why each vehicle goes with the foot brake, slope by slope.
pub(crate) fn with_brake(vehicles: &[VehicleSheet]) -> Vec<String> {
    let of = |sheet: &VehicleSheet| {
        let helped = sheet.descents.iter().filter(|row| row.helped && row.unforgiving.is_none());
        let told =
            helped.filter(|row| !row.why.is_empty()).map(|row| format!("{} {}", row.slope_id, row.why));
        let told: Vec<String> = told.collect();
        (!told.is_empty()).then(|| format!("{}: {}", sheet.id, told.join("; ")))
    };
    if vehicles.len() > LISTED { Vec::new() } else { vehicles.iter().filter_map(of).collect() }
}
