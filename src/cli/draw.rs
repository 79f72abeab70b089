//! `fanloom draw`: the circuit in the state asked for, as SVG, PNG or PDF.
//!
//! The same picture as in the window: SVG and PNG hold it alone, PDF puts it on a sheet. What it shows is found by
//! [`drawing`](crate::drawing); how it gets to its file by [`deliver`](super::deliver).

use crate::bench::Bench;
use crate::drawing::{Layout, Show, Symbols, Theme, draw, svg};
use crate::report::embed::with_font;
use crate::report::{Size, paper, sheet};

use super::args::{DrawArgs, Form, Paper, SheetArgs, SymbolSet};
use super::deliver::{deliver, form_of};
use super::exit::{Ending, complain};
use super::plan::{Complaint, asked_about};

pub(super) fn run(args: &DrawArgs, colour: bool) -> Ending {
    let drawn = form_of(&args.to, args.sheet.form).map_err(|complaint| vec![complaint]).and_then(|form| {
        let bench = asked_about(&args.file, &args.world, colour)?;
        let bytes = bytes(&bench, args, form).map_err(|complaint| vec![complaint])?;
        deliver(&bytes, &args.to).map_err(|complaint| vec![complaint])
    });
    match drawn {
        Ok(()) => Ending::Done,
        Err(complaints) => complain(&complaints),
    }
}

fn bytes(bench: &Bench, args: &DrawArgs, form: Form) -> Result<Vec<u8>, Complaint> {
    let circuit = bench.circuit();
    let show = Show { symbols: args.sheet.symbols(), ..Show::of(bench).with_fault_marks(bench) };
    let picture = draw(&Layout::of(circuit), circuit, &show);
    let theme = if args.grey { Theme::Grey } else { Theme::Light };
    let made = match form {
        Form::Svg => return Ok(with_font(&svg(&picture, theme)).into_bytes()),
        Form::Png => paper::png(&svg(&picture, theme), f32::from(args.sheet.dpi)),
        Form::Pdf => {
            paper::pdf(&sheet::drawing(&picture, circuit.title(), args.sheet.size(), theme).svg(), circuit.title())
        }
    };
    made.map_err(|why| Complaint::new(&why.message, &why.mend))
}

impl SheetArgs {
    /// The paper asked for.
    pub(super) fn size(&self) -> Size {
        match self.paper {
            Paper::A4 => Size::A4,
            Paper::Letter => Size::Letter,
        }
    }

    /// The symbols asked for.
    pub(super) fn symbols(&self) -> Symbols {
        match self.symbols {
            SymbolSet::Iec => Symbols::Iec60617,
            SymbolSet::Ieee => Symbols::Ieee315,
        }
    }
}
