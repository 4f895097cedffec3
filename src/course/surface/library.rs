//! Surfaces every course can use, as data with their sources.
//!
//! Published friction values are averages whose scatter is 20 to 30 %; the bands span what the named
//! sources give. Rolling resistance: B1 and B2 for roads, gravel and sand; T1 for earth (from memory).

use super::{Ground, Soil, Surface};
use crate::course::Band;

/// A surface of the library: low, likely, high for each value.
struct Entry {
    id: &'static str,
    name: &'static str,
    ground: Ground,
    soil: Soil,
    peak: [f64; 3],
    sliding: [f64; 3],
    rolling: [f64; 3],
    source: &'static str,
    estimated: bool,
}

const TEXTBOOK: &str = "T1 (from memory)";

const SURFACES: &[Entry] = &[
    Entry {
        id: "dry-asphalt",
        name: "dry asphalt",
        ground: Ground::Firm,
        soil: Soil::Hard,
        peak: [0.80, 0.85, 0.90],
        sliding: [0.60, 0.75, 0.80],
        rolling: [0.010, 0.013, 0.015],
        source: "T1 (from memory); sliding range: B4, travelled asphalt",
        estimated: false,
    },
    Entry {
        id: "wet-asphalt",
        name: "wet asphalt",
        ground: Ground::Firm,
        soil: Soil::Hard,
        peak: [0.50, 0.60, 0.70],
        sliding: [0.45, 0.525, 0.60],
        rolling: [0.010, 0.013, 0.015],
        source: TEXTBOOK,
        estimated: false,
    },
    Entry {
        id: "gravel-firm",
        name: "firm gravel",
        ground: Ground::Firm,
        soil: Soil::Hard,
        peak: [0.50, 0.60, 0.70],
        sliding: [0.35, 0.55, 0.60],
        rolling: [0.010, 0.015, 0.020],
        source: "T1 (from memory); low end: T7, average for gravel and dirt road",
        estimated: false,
    },
    Entry {
        id: "gravel-loose",
        name: "loose gravel",
        ground: Ground::Loose,
        soil: Soil::Loose,
        peak: [0.35, 0.45, 0.60],
        sliding: [0.40, 0.55, 0.70],
        rolling: [0.040, 0.050, 0.060],
        source: "B4, loose gravel (from memory); T7; locked against turning wheels: E3 (27 % longer with \
                 wheels kept turning)",
        estimated: false,
    },
    Entry {
        id: "earth-dry",
        name: "dry earth track",
        ground: Ground::Firm,
        soil: Soil::Dry,
        peak: [0.50, 0.60, 0.68],
        sliding: [0.48, 0.57, 0.65],
        rolling: [0.040, 0.050, 0.080],
        source: "T1 (from memory), high end and ratio of sliding to peak; low end: T6, dry earth, 0.50 to 0.60",
        estimated: false,
    },
    Entry {
        id: "earth-wet",
        name: "wet earth track",
        ground: Ground::Firm,
        soil: Soil::Wet,
        peak: [0.20, 0.40, 0.55],
        sliding: [0.15, 0.35, 0.50],
        rolling: [0.050, 0.080, 0.100],
        source: "T1 (from memory), high end; low end: T6, wet earth, 0.15 to 0.25",
        estimated: false,
    },
    Entry {
        id: "grass-dry",
        name: "dry grass",
        ground: Ground::Firm,
        soil: Soil::Dry,
        peak: [0.35, 0.42, 0.50],
        sliding: [0.30, 0.38, 0.45],
        rolling: [0.040, 0.050, 0.080],
        source: "instructors' estimate, common practice, no source",
        estimated: true,
    },
    Entry {
        id: "grass-wet",
        name: "wet grass",
        ground: Ground::Firm,
        soil: Soil::Wet,
        peak: [0.20, 0.25, 0.30],
        sliding: [0.15, 0.20, 0.25],
        rolling: [0.040, 0.060, 0.080],
        source: "instructors' estimate round the average 0.20 of T7",
        estimated: true,
    },
    Entry {
        id: "clay-wet",
        name: "wet clay over hard ground",
        ground: Ground::Firm,
        soil: Soil::Wet,
        peak: [0.15, 0.20, 0.30],
        sliding: [0.10, 0.15, 0.25],
        rolling: [0.040, 0.060, 0.100],
        source: "instructors' estimate from the range of T6 for wet earth, 0.15 to 0.25",
        estimated: true,
    },
    Entry {
        id: "sand",
        name: "dry sand",
        ground: Ground::Loose,
        soil: Soil::Loose,
        peak: [0.20, 0.30, 0.40],
        sliding: [0.20, 0.35, 0.45],
        rolling: [0.100, 0.200, 0.300],
        source: "estimate from driving traction: B5, dry sand 0.20, wet sand 0.40 (from memory)",
        estimated: true,
    },
    Entry {
        id: "snow-packed",
        name: "packed snow",
        ground: Ground::Firm,
        soil: Soil::Loose,
        peak: [0.20, 0.25, 0.35],
        sliding: [0.15, 0.20, 0.30],
        rolling: [0.020, 0.025, 0.035],
        source: "T1 (from memory), low end; E4, braking 0.23 to 0.35 at −6 °C",
        estimated: false,
    },
    Entry {
        id: "ice",
        name: "ice",
        ground: Ground::Firm,
        soil: Soil::Hard,
        peak: [0.06, 0.09, 0.12],
        sliding: [0.04, 0.07, 0.10],
        rolling: [0.010, 0.013, 0.015],
        source: "T1 (from memory); E4, braking 0.06 to 0.09 at −6 °C",
        estimated: false,
    },
    Entry {
        id: "rock",
        name: "dry rock",
        ground: Ground::Firm,
        soil: Soil::Hard,
        peak: [0.60, 0.70, 0.80],
        sliding: [0.50, 0.60, 0.70],
        rolling: [0.015, 0.020, 0.030],
        source: "instructors' estimate below dry concrete, common practice, no source",
        estimated: true,
    },
];

/// The surface of the library with this identifier.
pub fn library_surface(id: &str) -> Option<Surface> {
    SURFACES.iter().find(|entry| entry.id == id).map(Entry::surface)
}

/// Identifiers of the library, in its order.
pub fn library_ids() -> impl Iterator<Item = &'static str> {
    SURFACES.iter().map(|entry| entry.id)
}

impl Entry {
    fn surface(&self) -> Surface {
        let band = |[low, likely, high]: [f64; 3]| Band::new(low, likely, high);
        Surface {
            id: self.id.to_owned(),
            name: self.name.into(),
            ground: self.ground,
            soil: self.soil,
            peak: band(self.peak),
            sliding: band(self.sliding),
            rolling: band(self.rolling),
            source: self.source.into(),
            estimated: self.estimated,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_surface_is_in_order_and_names_its_source() {
        for id in library_ids() {
            let surface = library_surface(id).expect("an id of the library");
            assert!(surface.source.full().len() > 12, "{id}");
            for place in 0..3 {
                let (slide, peak) = (surface.sliding.values()[place], surface.peak.values()[place]);
                assert!(surface.ground == Ground::Loose || slide <= peak, "{id} slides better than it grips");
            }
        }
    }

    #[test]
    fn a_locked_wheel_stops_shorter_on_loose_gravel_only_as_far_as_published() {
        let gravel = library_surface("gravel-loose").expect("loose gravel");
        // E3: stops with wheels kept turning 27.2 % longer on average.
        let likely = gravel.sliding.likely / gravel.peak.likely;
        assert!((likely - 1.272).abs() < 0.06, "{likely}");
    }
}
