//! What happens over time, through the bench's own clock.

mod support;

use fanloom::bench::{Action, Live, Start};
use support::{shipped, shipped_names};

fn live(name: &str, settings: &[&str]) -> Live {
    let settings = settings.iter().map(|s| s.parse().expect("a setting")).collect();
    Live::begin(shipped(name), Start { settings, faults: Vec::new() }).expect("no faults")
}

#[test]
fn smoke() {
    let mut live = live("parallel-open", &[]);
    live.advance(1.0, &[], |_| {});
    live.apply(Action::Do("jump:B1.1=B1.2".parse().unwrap())).unwrap();
    let samples: Vec<f64> = (0..40).map(|i| 1.0 + 0.05 * f64::from(i)).collect();
    live.advance(3.0, &samples, |m| {
        println!(
            "{:.2} s supply {:.1} clutch {:.1} {:?}",
            m.at_s,
            m.supply_kpa / 6.894757,
            m.clutch_kpa / 6.894757,
            m.clutch.state
        )
    });
    println!("{:#?}", live.events());
    let mut hour = self::live("parallel-open", &["engine=1800"]);
    let t = std::time::Instant::now();
    let samples: Vec<f64> = (0..120).map(|i| 30.0 * f64::from(i)).collect();
    hour.advance(3600.0, &samples, |m| {
        println!(
            "{:.0} s coolant {:.1} fan {:.0} clutch {:.1} {:?} plate {:.0} tank {:.0}",
            m.at_s,
            m.coolant_c,
            m.fan_rpm,
            m.clutch_kpa / 6.894757,
            m.clutch.state,
            m.plate_c,
            m.tank_kpa / 6.894757
        )
    });
    println!("{:?} {} events", t.elapsed(), hour.events().len());
    for e in hour.events().iter().take(40) {
        println!("{e:?}");
    }
    for name in shipped_names() {
        let mut l = self::live(&name, &[]);
        l.advance(120.0, &[], |_| {});
        println!("{name} {:?} steady {:?}", l.moment().clutch, l.bench().outcome().clutch);
    }
}
