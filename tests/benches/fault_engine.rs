//! Tables of altered networks: the engine beside general-purpose numerical libraries, in one run on one machine.
//!
//! With `FANLOOM_PEERS` naming a folder that holds `make_circuits.py`, `peer_fault_table.py` and the packages they want
//! in the Python that `FANLOOM_PYTHON` names, the same networks are read by both, five rounds by turns, in CPU time, and
//! their sums must agree. Without it a ladder of this project's own is measured alone. `-- table`, `-- pairs` or
//! `-- solve` runs that kernel once only, for counting instructions; `-- growth` times ladders of 20 to 10,000 nodes;
//! `-- relays` settles the same networks and shipped circuits with coils that move, beside as many cases in which none
//! does.

#[path = "../support/mod.rs"]
mod support;

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use fanloom::circuit::Circuit;
use fanloom::physics::electric::relays::{Effort, Fate};
use fanloom::physics::electric::{Change, Prepared, Relay, Relays, Scratch};
use fanloom::physics::engine::{Engine, Lean};
use fanloom::physics::inputs::{Inputs, Tie, Touch};
use fanloom::physics::settle::felt;
use fanloom::physics::state::{Memory, Settling};
use support::led::Held;
use support::netlist::Netlist;
use support::{exponent, shipped, shipped_names};

const ROUNDS: usize = 5;
const POINTS: usize = 12;
/// Networks that the peers' script makes: of 31 and of 95 branches.
const PEERS_LISTS: [&str; 2] = ["c20_4", "c60_4"];
/// Siemens from every node to ground, as in the peers' networks.
const LEAK: f64 = 1e-9;

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let kernels = [
        ("table", table_once as fn()),
        ("pairs", pairs_once),
        ("solve", solve_once),
        ("growth", growth),
        ("relays", relays),
    ];
    for (word, kernel) in kernels {
        if arguments.iter().any(|a| a == word) {
            return kernel();
        }
    }
    match std::env::var_os("FANLOOM_PEERS") {
        Some(folder) => beside_peers(&PathBuf::from(folder)),
        None => alone(),
    }
}

/// One table of a ladder of 60 nodes in 16 states.
fn table_once() {
    let case = Case::of(Netlist::ladder(60, 16, LEAK));
    println!("{} cases, sum {}", case.cases(), case.table());
}

/// All pairs of a ladder of 60 nodes in one state.
fn pairs_once() {
    let case = Case::of(Netlist::ladder(60, 1, LEAK));
    let (pairs, sum) = case.pairs();
    println!("{pairs} pairs, sum {sum}");
}

/// A thousand solutions of a ladder of 60 nodes.
fn solve_once() {
    let case = Case::of(Netlist::ladder(60, 16, LEAK));
    for round in 0..1000 {
        black_box(case.prepared.solve(&case.siemens[round % 16], &[]));
    }
}

/// How one solution and the whole table of single faults at twelve points grow with the number of nodes. Wanted: the
/// solution no faster than n^1.2 and under 2 ms at 10,000, the table no faster than n^1.15.
fn growth() {
    let mut times: [Vec<(usize, f64)>; 2] = Default::default();
    for unknown in [20, 60, 200, 1_000, 3_000, 10_000] {
        let list = Netlist::ladder(unknown, 1, 0.0);
        let nodes = list.unknown.len();
        let points = list.points(POINTS);
        let case = Case::of(list);
        let (siemens, changes) = (&case.siemens[0], &case.changes[0]);
        let mut scratch = Scratch::new(&case.prepared);
        let solve = median((0..ROUNDS).map(|_| time(|| case.prepared.solve(siemens, &[]))).collect());
        let mut solved = case.prepared.solve(siemens, &points);
        let mut table = || {
            solved.again(siemens);
            let mut sum = 0.0;
            solved.singles(changes, &mut scratch, |_, volts| sum += volts.iter().sum::<f64>());
            sum
        };
        let table = median((0..ROUNDS).map(|_| time(&mut table)).collect());
        let (count, per_fault) = (changes.len(), 1e9 * table / changes.len() as f64);
        println!(
            "{nodes:>6} nodes: solved {:>8.1} us; {count} faults {:>9.1} us, {per_fault:.0} ns each",
            1e6 * solve,
            1e6 * table
        );
        times[0].push((nodes, solve));
        times[1].push((nodes, table));
    }
    println!("exponents: solved {:.3}, table {:.3}", exponent(&times[0]), exponent(&times[1]));
}

/// Shipped circuits with one thing wrong in each way, led from key off through key on and hot to off again: what it
/// costs to settle where coils move, over what the same cases cost begun from where they come to rest. Wanted: at
/// most 4 times, and what does not come to rest said to chatter.
fn relays() {
    if let Some(folder) = std::env::var_os("FANLOOM_PEERS") {
        let made = made_by_peers(&PathBuf::from(folder));
        for name in PEERS_LISTS {
            report_relays(name, &Case::of(Netlist::read(&made.path().join(format!("{name}.json")))));
        }
    }
    report_relays("ladder of 60 nodes", &Case::of(Netlist::ladder(60, 16, LEAK)));
    let mut all: Vec<[f64; 2]> = vec![[0.0; 2]; ROUNDS];
    for name in shipped_names() {
        let circuit = shipped(&name);
        let engine = Engine::of(circuit.clone());
        let terminals: Vec<Touch> = circuit.terminals_with_ids().map(|(id, _)| Touch::Terminal(id)).collect();
        let points: Vec<Touch> = (0..POINTS).map(|i| terminals[i * terminals.len() / POINTS]).collect();
        let led = Led::of(&engine, &points);
        let mut lean = Lean::default();
        let mut settle = |cases: &[(Inputs, Memory)]| {
            time(|| cases.iter().for_each(|(inputs, memory)| engine.settle_lean(inputs, memory, &points, &mut lean)))
        };
        let mut ratios = Vec::new();
        for sums in &mut all {
            let times = [settle(&led.moving), settle(&led.resting)];
            sums.iter_mut().zip(times).for_each(|(sum, time)| *sum += time);
            ratios.push(times[0] / times[1]);
        }
        println!(
            "{name}: {} of {} cases move coils, {:.2} times as long as at rest; {} chatter, {} gave up",
            led.moving.len(),
            led.cases,
            median(ratios),
            led.chattering,
            led.gave_up
        );
    }
    println!("all: {:.2} times", median(all.iter().map(|[moving, resting]| moving / resting).collect()));
}

/// A list with its relays moving.
struct Moving<'c> {
    case: &'c Case,
    watched: Vec<usize>,
    relays: Relays,
    /// For each state what is altered, contacts of relays as they are when closed.
    changes: Vec<Vec<Change>>,
}

impl<'c> Moving<'c> {
    fn of(case: &'c Case) -> Self {
        let list = &case.list;
        let ends = |relay: &Relay| [list.network.branches[relay.coil].from, list.network.branches[relay.coil].to];
        let watched: Vec<usize> = list.relays.iter().flat_map(ends).chain(list.points(POINTS)).collect();
        let relays = Relays::of(&case.prepared, &list.relays, &watched).expect("relays that can be moved");
        let whole = case.prepared.siemens();
        let closed = |siemens: &Vec<f64>| {
            let mut siemens = siemens.clone();
            list.relays.iter().for_each(|relay| siemens[relay.contact] = whole[relay.contact]);
            list.changes(&siemens)
        };
        Self { case, watched, relays, changes: case.siemens.iter().map(closed).collect() }
    }

    /// Every single fault in every state with the relays moving; how many chatter.
    fn table(&mut self) -> usize {
        let mut chattering = 0;
        for (siemens, changes) in self.case.siemens.iter().zip(&self.changes) {
            self.relays.settle(siemens, changes, |_, fate| match fate {
                Fate::Rests { volts, .. } => drop(black_box(volts)),
                Fate::Chatters => chattering += 1,
            });
        }
        chattering
    }

    /// The same with every contact where it stands.
    fn at_rest(&self) {
        let mut scratch = Scratch::new(&self.case.prepared);
        let mut solved = self.case.prepared.solve(&self.case.prepared.siemens(), &self.watched);
        for (siemens, changes) in self.case.siemens.iter().zip(&self.case.changes) {
            solved.again(siemens);
            solved.singles(changes, &mut scratch, |_, volts| {
                black_box(volts);
            });
        }
    }

    /// Holds every copy against one led to rest by solutions from the beginning. The worst of the volts, as a share of
    /// what they may be off.
    fn check(&mut self) -> f64 {
        let list = &self.case.list;
        let mut held = Held::default();
        for (siemens, changes) in self.case.siemens.iter().zip(&self.changes) {
            held.add((&list.network, &list.relays), &mut self.relays, &self.watched, siemens, changes);
        }
        held.worst
    }
}

fn report_relays(name: &str, case: &Case) {
    let mut moving = Moving::of(case);
    let chattering = moving.table();
    let Effort { looks, states, solved_anew } = moving.relays.effort();
    let worst = moving.check();
    let mut times: Vec<[f64; 2]> = Vec::new();
    for _ in 0..ROUNDS {
        times.push([time(|| moving.table()), time(|| moving.at_rest())]);
    }
    let of = |which: usize| median(times.iter().map(|times| times[which]).collect());
    println!(
        "{name}: relays moved, {:.2} solutions a case in {states} states, {solved_anew} by sweeps of their own, {:.2} times \
         as long as with all contacts at rest ({:.0} and {:.0} ns a case); {chattering} of {} cases chatter; all as solved \
         directly, {worst:.1e} of what they may be off at worst",
        looks as f64 / case.cases() as f64,
        median(times.iter().map(|[moving, rest]| moving / rest).collect()),
        1e9 * of(0) / case.cases() as f64,
        1e9 * of(1) / case.cases() as f64,
        case.cases()
    );
}

/// A circuit's altered copies led through states.
#[derive(Default)]
struct Led {
    cases: usize,
    chattering: usize,
    gave_up: usize,
    /// Inputs and memory of those in which coils move before it rests.
    moving: Vec<(Inputs, Memory)>,
    /// The same with the memory that they come to rest with.
    resting: Vec<(Inputs, Memory)>,
}

impl Led {
    fn of(engine: &Engine, points: &[Touch]) -> Self {
        let circuit = engine.circuit();
        let mut led = Self::default();
        let mut lean = Lean::default();
        for wrong in wrongs(circuit) {
            lean.memory = Memory::default();
            // Key and coolant in °C.
            for (key_on, coolant_c) in [(false, 20.0), (true, 20.0), (true, 115.0), (true, 20.0), (false, 20.0)] {
                let mut inputs = wrong.clone();
                inputs.conditions.key_on = key_on;
                inputs.conditions.coolant_c = coolant_c;
                let before = lean.memory.clone();
                engine.settle_lean(&inputs, &before, points, &mut lean);
                led.cases += 1;
                let on = |memory: &Memory| memory.parts.iter().map(|part| part.on).collect::<Vec<_>>();
                match lean.settling {
                    Settling::Settled if on(&lean.memory) != on(&felt(circuit, &inputs, &before)) => {
                        led.resting.push((inputs.clone(), lean.memory.clone()));
                        led.moving.push((inputs, before));
                    }
                    Settling::Settled => {}
                    Settling::Chattering { .. } => led.chattering += 1,
                    Settling::GaveUp { .. } => led.gave_up += 1,
                }
            }
        }
        led
    }
}

/// A sound circuit, every wire cut, every terminal to ground and to the feed.
fn wrongs(circuit: &Circuit) -> Vec<Inputs> {
    let mut all = vec![Inputs::default()];
    for (wire, _) in circuit.wires_with_ids() {
        let mut inputs = Inputs::default();
        inputs.altered.cut.insert(wire);
        all.push(inputs);
    }
    for (terminal, _) in circuit.terminals_with_ids() {
        let at = Touch::Terminal(terminal);
        for tie in [Tie::ToChassis(at, 0.01), Tie::ToSupply(at, 0.01)] {
            let mut inputs = Inputs::default();
            inputs.altered.ties.push(tie);
            all.push(inputs);
        }
    }
    all
}

/// A list compiled, its states and changes ready.
struct Case {
    list: Netlist,
    prepared: Prepared,
    siemens: Vec<Vec<f64>>,
    changes: Vec<Vec<Change>>,
    watched: Vec<usize>,
    /// For each of the watched the weight of its volts in the sum.
    weights: Vec<f64>,
}

impl Case {
    fn of(list: Netlist) -> Self {
        let prepared = Prepared::of(&list.network);
        let siemens: Vec<Vec<f64>> = (0..list.states.len()).map(|s| list.siemens(&prepared, s)).collect();
        let changes = siemens.iter().map(|s| list.changes(s)).collect();
        let watched = list.watched(&prepared);
        let weight = |node: &usize| 1 + list.unknown.binary_search(node).expect("unknown") % 7;
        let weights = watched.iter().map(|node| weight(node) as f64).collect();
        Self { list, prepared, siemens, changes, watched, weights }
    }

    fn cases(&self) -> usize {
        self.changes.iter().map(Vec::len).sum()
    }

    /// The whole table of single faults, every node; how many were solved anew.
    fn fill(&self, table: &mut [f64]) -> usize {
        let mut scratch = Scratch::new(&self.prepared);
        let mut solved = self.prepared.solve(&self.siemens[0], &self.watched);
        let width = self.watched.len();
        let states = table.chunks_exact_mut(width * self.changes[0].len());
        for ((siemens, changes), rows) in self.siemens.iter().zip(&self.changes).zip(states) {
            solved.again(siemens);
            solved.singles(changes, &mut scratch, |number, volts| {
                rows[number * width..][..width].copy_from_slice(volts);
            });
        }
        scratch.solved_anew()
    }

    fn room(&self) -> Vec<f64> {
        vec![0.0; self.cases() * self.watched.len()]
    }

    fn sum(&self, table: &[f64]) -> f64 {
        let rows = table.chunks_exact(self.watched.len());
        rows.map(|row| row.iter().zip(&self.weights).map(|(v, w)| v * w).sum::<f64>()).sum()
    }

    fn table(&self) -> f64 {
        let mut table = self.room();
        self.fill(&mut table);
        self.sum(&table)
    }

    /// All pairs of faults at twelve points in one state: how many, and the sum of their volts.
    fn pairs_of(&self, state: usize) -> (usize, f64) {
        let points = self.list.points(POINTS);
        let solved = self.prepared.solve(&self.siemens[state], &points);
        let (mut count, mut sums) = (0, [0.0; POINTS]);
        solved.pairs(&self.changes[state], &mut Scratch::new(&self.prepared), |rows| {
            count += rows.others.len();
            assert_eq!(rows.width, POINTS, "as many as asked for");
            let mut of_rows = [0.0; POINTS];
            for volts in rows.volts.as_chunks::<POINTS>().0 {
                of_rows.iter_mut().zip(volts).for_each(|(sum, v)| *sum += v);
            }
            sums.iter_mut().zip(of_rows).for_each(|(sum, v)| *sum += v);
        });
        (count, sums.iter().sum())
    }

    fn pairs(&self) -> (usize, f64) {
        let states = (0..self.siemens.len()).map(|state| self.pairs_of(state));
        states.fold((0, 0.0), |(count, sum), (more, volts)| (count + more, sum + volts))
    }
}

/// CPU seconds of this process so far; wall seconds where the system does not tell.
fn cpu_seconds() -> f64 {
    let told = std::fs::read_to_string("/proc/self/schedstat").ok();
    let nanoseconds = told.and_then(|text| text.split_whitespace().next()?.parse::<f64>().ok());
    nanoseconds.map_or_else(wall_seconds, |ns| 1e-9 * ns)
}

#[expect(clippy::disallowed_methods, reason = "the bench is about time")]
fn wall_seconds() -> f64 {
    static BEGUN: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    BEGUN.get_or_init(Instant::now).elapsed().as_secs_f64()
}

/// CPU seconds for one go, found from as many as fill a third of a second. The clock is asked once for many goes: to ask
/// costs some microseconds.
fn time<R>(mut go: impl FnMut() -> R) -> f64 {
    let mut goes = 1;
    loop {
        let begun = cpu_seconds();
        (0..goes).for_each(|_| drop(black_box(go())));
        let spent = cpu_seconds() - begun;
        if spent > 0.33 {
            return spent / f64::from(goes);
        }
        goes *= 2;
    }
}

fn median(mut numbers: Vec<f64>) -> f64 {
    numbers.sort_by(f64::total_cmp);
    numbers[numbers.len() / 2]
}

fn alone() {
    for unknown in [20, 60] {
        let case = Case::of(Netlist::ladder(unknown, 16, LEAK));
        let mut table = case.room();
        let anew = case.fill(&mut table);
        let seconds = median((0..ROUNDS).map(|_| time(|| case.fill(&mut table))).collect());
        let cases = case.cases();
        println!(
            "single faults, {unknown} nodes, every node: {:.1} ns a case, {anew} of {cases} solved anew",
            1e9 * seconds / cases as f64
        );
        let (pairs, _) = case.pairs();
        let seconds = median((0..ROUNDS).map(|_| time(|| case.pairs())).collect());
        println!("pairs, {unknown} nodes, twelve points: {:.1} ns a pair", 1e9 * seconds / pairs as f64);
    }
    two_threads(&Case::of(Netlist::ladder(60, 64, LEAK)));
}

/// How much two threads gain over one, by the clock on the wall; of use on an idle machine only.
fn two_threads(case: &Case) {
    let wall = |threads: usize| {
        let begun = wall_seconds();
        let states = case.siemens.len();
        std::thread::scope(|scope| {
            for thread in 0..threads {
                scope.spawn(move || {
                    for state in (thread..states).step_by(threads) {
                        black_box(case.pairs_of(state));
                    }
                });
            }
        });
        wall_seconds() - begun
    };
    let rounds: Vec<(f64, f64)> = (0..ROUNDS).map(|_| (wall(1), wall(2))).collect();
    let gains: Vec<f64> = rounds.iter().map(|(one, two)| one / two).collect();
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    println!("pairs on two threads: {gains:.2?} times one; load {}", load.trim());
}

/// One run of the peers' script: CPU seconds and its sum.
fn peer(folder: &Path, netlist: &Path, arguments: &[&str]) -> (f64, f64) {
    let python = std::env::var_os("FANLOOM_PYTHON").unwrap_or_else(|| "python3".into());
    let mut command = Command::new(python);
    command.arg(folder.join("peer_fault_table.py")).arg(netlist).args(arguments).args(["--repeat", "1"]);
    let output = command.output().expect("Python runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let number = |key: &str| json[key].as_f64().expect("a number");
    (number("cpu_seconds"), number("checksum"))
}

#[track_caller]
fn agree(ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() <= 1e-8 * theirs.abs(), "sums differ: {ours} and {theirs}");
}

/// A folder with the peers' networks, as their script makes them.
fn made_by_peers(folder: &Path) -> tempfile::TempDir {
    let made = tempfile::tempdir().expect("a folder for the networks");
    let python = std::env::var_os("FANLOOM_PYTHON").unwrap_or_else(|| "python3".into());
    let script = folder.canonicalize().expect("the folder is there").join("make_circuits.py");
    let done = Command::new(python).arg(script).current_dir(made.path()).output();
    assert!(done.expect("Python runs").status.success(), "the networks could not be made");
    made
}

fn beside_peers(folder: &Path) {
    let folder = folder.canonicalize().expect("the folder is there");
    let made = made_by_peers(&folder);
    for name in PEERS_LISTS {
        let path = made.path().join(format!("{name}.json"));
        let case = Case::of(Netlist::read(&path));
        let methods = ["numpy-batched", "scipy-splu-sm", "numpy-inv-sm"];
        let mut table = case.room();
        let anew = case.fill(&mut table);
        let mut times: Vec<Vec<f64>> = vec![Vec::new(); methods.len() + 1];
        for _ in 0..ROUNDS {
            times[0].push(time(|| case.fill(&mut table)));
            for (method, times) in methods.iter().zip(&mut times[1..]) {
                let (seconds, sum) = peer(&folder, &path, &[method]);
                agree(case.sum(&table), sum);
                times.push(seconds);
            }
        }
        let cases = case.cases();
        println!("{name}: single faults, {} branches, {cases} cases, {anew} solved anew", case.list.branches);
        report(&["engine", "numpy-batched", "scipy-splu-sm", "numpy-inv-sm"], &times, cases);
        let mut times: Vec<Vec<f64>> = vec![Vec::new(); 2];
        let (pairs, _) = case.pairs();
        for _ in 0..ROUNDS {
            times[0].push(time(|| case.pairs()));
            let (seconds, sum) = peer(&folder, &path, &["numpy-inv-sm", "--pairs"]);
            agree(case.pairs().1, sum);
            times[1].push(seconds);
        }
        report_relays(name, &case);
        println!("{name}: {pairs} pairs at twelve points");
        report(&["engine", "numpy-woodbury-pairs"], &times, pairs);
    }
    two_threads(&Case::of(Netlist::read(&made.path().join("c60_4.json"))));
}

fn report(names: &[&str], times: &[Vec<f64>], cases: usize) {
    let own = median(times[0].clone());
    let slowest = times[0].iter().copied().fold(0.0, f64::max);
    for (name, times) in names.iter().zip(times) {
        let fastest = times.iter().copied().fold(f64::INFINITY, f64::min);
        let seconds = median(times.clone());
        println!(
            "  {name:<22} {:>9.1} ns a case, {:>7.1} times the engine's (at worst {:.1})",
            1e9 * seconds / cases as f64,
            seconds / own,
            fastest / slowest
        );
    }
}
