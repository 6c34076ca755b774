//! The time that one thread works, which does not count what others do meanwhile.

use std::time::Duration;

/// The clock of a thread.
#[derive(Clone, Copy)]
pub(crate) struct ThreadClock {
    #[cfg(target_os = "linux")]
    id: nix::time::ClockId,
    #[cfg(not(target_os = "linux"))]
    start: std::time::Instant,
}

#[cfg(target_os = "linux")]
impl ThreadClock {
    /// That of the calling thread; any thread may read it.
    pub(crate) fn own() -> Self {
        // The kernel numbers the clock of a thread so (CPUCLOCK_PERTHREAD and
        // CPUCLOCK_SCHED in its posix-timers_types.h).
        let id = nix::unistd::gettid().as_raw();
        Self {
            id: nix::time::ClockId::from_raw((!id << 3) | 0b110),
        }
    }

    pub(crate) fn now(self) -> Duration {
        self.id.now().map_or(Duration::ZERO, Duration::from)
    }
}

/// Elsewhere the wall clock stands in for it.
#[cfg(not(target_os = "linux"))]
impl ThreadClock {
    pub(crate) fn own() -> Self {
        let start = std::time::Instant::now();
        Self { start }
    }

    pub(crate) fn now(self) -> Duration {
        self.start.elapsed()
    }
}
