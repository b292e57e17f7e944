//! What an import is asked for, as plain data.

use std::path::PathBuf;

use crate::kit::clock::ClockOff;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::model::photo::is_named;

/// What to import.
#[derive(Clone, Debug)]
pub struct ImportRequest {
    /// The piece.
    pub stock_no: StockNo,
    /// The occasion.
    pub stage: Stage,
    /// Files, folders, zips.
    pub paths: Vec<PathBuf>,
    /// What to add to the camera's clock.
    pub clock_off: ClockOff,
    /// The only camera whose clock was off, by a part of its name; `None`: all of them.
    pub camera: Option<String>,
    /// Whether the photos may join the newest shoot of the same stage.
    pub shoot: WhichShoot,
}

/// Which shoot the photos go to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhichShoot {
    /// The newest one, if it has the same stage and lies within three days; else a new one.
    JoinOrStart,
    /// A new one.
    Start,
}

impl ImportRequest {
    /// What to add to the clock of a camera of this name.
    #[must_use]
    pub fn clock_off_of(&self, camera: Option<&str>) -> ClockOff {
        let meant = self.camera.as_deref();
        match meant.is_none_or(|it| is_named(camera, it)) {
            true => self.clock_off,
            false => ClockOff::default(),
        }
    }

    /// What an import asks for, as text that is the same when it is repeated.
    #[must_use]
    pub fn asked(&self) -> String {
        let paths = self.paths.iter();
        let paths = paths.map(|it| std::fs::canonicalize(it).unwrap_or_else(|_| it.clone()));
        let paths: Vec<String> = paths.map(|it| format!("{}\n", it.display())).collect();
        let shoot = match self.shoot {
            WhichShoot::JoinOrStart => "joined or started",
            WhichShoot::Start => "started",
        };
        format!(
            "{}, {shoot}, {} {}\n{}",
            self.stage,
            self.clock_off,
            self.camera.as_deref().unwrap_or_default(),
            paths.concat()
        )
    }
}
