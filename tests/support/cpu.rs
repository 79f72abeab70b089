//! CPU time of the thread that measures, for benches on machines that do other work as well.
//!
//! Read from the kernel's own account of the thread (`/proc/thread-self/schedstat`, its first number: nanoseconds on a
//! processor). Waiting for others does not count; what other threads do does not either.

use criterion::measurement::{Measurement, ValueFormatter, WallTime};

/// Measures CPU time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CpuTime;

/// Nanoseconds that this thread has been on a processor.
fn nanoseconds() -> u64 {
    let account = std::fs::read_to_string("/proc/thread-self/schedstat").expect("the kernel keeps an account");
    let first = account.split_whitespace().next().and_then(|number| number.parse().ok());
    first.expect("it begins with nanoseconds")
}

impl Measurement for CpuTime {
    type Intermediate = u64;
    type Value = u64;

    fn start(&self) -> u64 {
        nanoseconds()
    }

    fn end(&self, began: u64) -> u64 {
        nanoseconds() - began
    }

    fn add(&self, a: &u64, b: &u64) -> u64 {
        a + b
    }

    fn zero(&self) -> u64 {
        0
    }

    fn to_f64(&self, value: &u64) -> f64 {
        *value as f64
    }

    fn formatter(&self) -> &dyn ValueFormatter {
        static WALL: WallTime = WallTime;
        WALL.formatter()
    }
}
