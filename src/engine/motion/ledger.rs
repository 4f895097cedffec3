//! Where the energy of a descent went.

use serde::Serialize;

/// First-law account of one descent, J.
///
/// What came in is the sum of what went out; [`Ledger::residual`] shows by how much it fails to be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Ledger {
    /// In: weight times height lost, less any height gained.
    pub height: f64,
    /// In: energy of motion at the brow, rotating parts included.
    pub entry: f64,
    /// In: work the engine did on the wheels where the slope alone would not have kept it moving.
    pub fuel: f64,
    /// Out: sliding between tyre and ground.
    pub ground: f64,
    /// Out: foot brakes.
    pub brakes: f64,
    /// Out: turning the engine.
    pub engine: f64,
    /// Out: gears and joints between wheel and engine.
    pub driveline: f64,
    /// Out: rolling resistance.
    pub rolling: f64,
    /// Out: air.
    pub air: f64,
    /// Out: what is left as speed.
    pub speed: f64,
}

impl Ledger {
    /// All that came in, J.
    pub fn energy_in(&self) -> f64 {
        self.height + self.entry + self.fuel
    }

    /// All that went out, J.
    pub fn energy_out(&self) -> f64 {
        self.ground + self.brakes + self.engine + self.driveline + self.rolling + self.air + self.speed
    }

    /// In less out, over all that moved; 0 when the account closes.
    pub fn residual(&self) -> f64 {
        let size = self.height.abs() + self.entry + self.fuel;
        if size > 0.0 { (self.energy_in() - self.energy_out()) / size } else { 0.0 }
    }

    /// The sinks by name, for a page that lists them.
    pub fn sinks(&self) -> [(&'static str, f64); 7] {
        [
            ("tyres and ground", self.ground),
            ("brakes", self.brakes),
            ("engine", self.engine),
            ("driveline", self.driveline),
            ("rolling resistance", self.rolling),
            ("air", self.air),
            ("left as speed", self.speed),
        ]
    }
}
