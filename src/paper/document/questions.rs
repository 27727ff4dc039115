//! The paper that students get.

use super::{Block, Document, TableCell};
use crate::brief::ExamBrief;
use crate::error::Error;
use crate::exam::{ExamPaper, part_letter};
use crate::paper::figures::{Drawn, draw};
use crate::paper::words::{Text, Unsaid, Words};
use crate::problem::{Answer, Cell, Figure, Item, Kind, Part, Row, Said, Topic};

/// The paper of one group: items with room for answers, and formulas where the brief wants.
///
/// # Errors
/// [`Error::Work`] for a phrase that the catalogue lacks and a figure that cannot be drawn.
pub fn questions(brief: &ExamBrief, paper: &ExamPaper, words: &Words) -> Result<Document, Error> {
    let mut maker = Maker { words, blocks: Vec::new(), figures: Vec::new() };
    let fields = ["field-name", "field-date"].map(|field| words.word(field));
    maker.blocks.push(Block::Fields(fields.into_iter().collect::<Result<_, _>>()?));
    let minutes: u32 = paper.items.iter().map(Item::minutes).sum();
    let total = Said::new("paper-total")
        .count("items", paper.items.len() as u32)
        .count("points", paper.points())
        .count("minutes", minutes);
    maker.paragraph(&total)?;
    for (index, item) in paper.items.iter().enumerate() {
        maker.item(index, item)?;
    }
    if brief.paper.formula_sheet {
        maker.formulas(paper)?;
    }
    let title = words.say(&Said::new("paper-title").name("name", &paper.name))?;
    Ok(maker.document(brief, title))
}

/// What a document gathers.
pub(super) struct Maker<'a> {
    pub words: &'a Words,
    pub blocks: Vec<Block>,
    pub figures: Vec<Drawn>,
}

/// Formulas, and the kinds of problems that need each; none for those that every paper needs.
const FORMULAS: [(&str, &[Kind]); 9] = [
    ("formula-ratio", &[]),
    (
        "formula-willis",
        &[
            Kind::SixWays,
            Kind::Ratio,
            Kind::TwoDriven,
            Kind::ShiftTable,
            Kind::FindEngaged,
            Kind::CoupledSets,
            Kind::Torque,
            Kind::PlanetSpeed,
            Kind::FindTeeth,
            Kind::LeverDrawing,
            Kind::Efficiency,
            Kind::Recognise,
            Kind::Derive,
        ],
    ),
    ("formula-planet", &[Kind::PlanetSpeed]),
    ("formula-coaxial", &[Kind::FindTeeth]),
    ("formula-assembly", &[Kind::Assembly, Kind::FindTeeth]),
    ("formula-neighbours", &[Kind::Assembly, Kind::FindTeeth]),
    ("formula-torque", &[Kind::Torque, Kind::Efficiency]),
    ("formula-power", &[Kind::Torque]),
    ("formula-steps", &[Kind::Ladder]),
];

/// Whether an item asks for the equation of speeds itself, which no sheet then tells.
fn derives_willis(item: &Item) -> bool {
    item.kind == Kind::Derive && item.topics.contains(&Topic::OneSet)
}

impl Maker<'_> {
    /// All that was gathered, under the title of the exam and one of its own.
    pub fn document(self, brief: &ExamBrief, title: Text) -> Document {
        Document {
            title: Text::plainly(format!("{} · ", brief.title)).then(title),
            subtitle: brief.paper.subtitle.clone(),
            language: brief.paper.language.clone(),
            size: brief.paper.size,
            blocks: self.blocks,
            figures: self.figures,
        }
    }

    pub fn paragraph(&mut self, said: &Said) -> Result<(), Error> {
        self.blocks.push(Block::Paragraph(self.words.say(said)?));
        Ok(())
    }

    /// A figure where it can be drawn; a layout that does not nest has no stick drawing, and
    /// its text tells all.
    pub fn figure(&mut self, figure: &Figure) -> Result<(), Error> {
        if let Some(drawn) = draw(figure)? {
            self.figures.push(drawn);
            self.blocks.push(Block::Figure(self.figures.len() - 1));
        }
        Ok(())
    }

    /// The head of an item, its stem and its figures.
    pub fn stem(&mut self, index: usize, item: &Item) -> Result<(), Error> {
        let head = Said::new("item-head").count("number", index as u32 + 1);
        let points = Said::new("points").count("points", item.points());
        self.blocks.push(Block::Item(self.words.say(&head)?, self.words.say(&points)?));
        let mut stem = Text::default();
        for said in &item.stem {
            let space = if stem.0.is_empty() { "" } else { " " };
            stem = stem.then(Text::plainly(space)).then(self.words.say(said)?);
        }
        self.blocks.push(Block::Paragraph(stem));
        item.figures.iter().try_for_each(|figure| self.figure(figure))
    }

    /// What a part asks, behind its letter where there are several.
    pub fn ask(&mut self, item: &Item, part: usize) -> Result<(), Error> {
        let ask = self.words.say(&item.parts[part].ask)?;
        if item.parts.len() == 1 {
            self.blocks.push(Block::Paragraph(ask));
            return Ok(());
        }
        let points = Said::new("points").count("points", item.parts[part].points());
        let points = self.words.say(&points)?;
        let ask = ask.then(Text::plainly(" [")).then(points).then(Text::plainly("]"));
        self.blocks.push(Block::Lettered(format!("({})", part_letter(part)), ask));
        Ok(())
    }

    fn item(&mut self, index: usize, item: &Item) -> Result<(), Error> {
        self.stem(index, item)?;
        for (index, part) in item.parts.iter().enumerate() {
            self.ask(item, index)?;
            self.answer_room(part)?;
        }
        Ok(())
    }

    /// Where the answer is written, and room for the way to it.
    fn answer_room(&mut self, part: &Part) -> Result<(), Error> {
        let steps = part.steps.len() as u32;
        let label = self.words.word("answer-label")?;
        match &part.answer {
            Answer::Choice { options, .. } => {
                let options = options
                    .iter()
                    .enumerate()
                    .map(|(index, option)| Ok((letter(index), self.words.say(&option.said)?)));
                let options = options.collect::<Result<_, Unsaid>>()?;
                self.blocks.push(Block::Options(options));
                self.blocks.push(Block::Room(steps));
            }
            Answer::Table { columns, rows } => {
                let blank = |cell: &Cell| match cell {
                    Cell::Given(said) => Ok(TableCell::Text(self.words.say(said)?)),
                    Cell::Tick(_) => Ok(TableCell::Box),
                    Cell::Number { .. } | Cell::Word { .. } => Ok(TableCell::Blank),
                };
                let table = table(self.words, columns, rows, blank)?;
                self.blocks.push(table);
                self.blocks.push(Block::Room(2));
            }
            Answer::Drawing { on, .. } => self.figure(on)?,
            Answer::Written { .. } => self.blocks.push(Block::Room(3 * steps + 2)),
            Answer::Number { .. }
            | Answer::Fraction { .. }
            | Answer::Names { .. }
            | Answer::Teeth { .. } => {
                self.blocks.push(Block::Answer(2 * steps, label));
            }
        }
        Ok(())
    }

    fn formulas(&mut self, paper: &ExamPaper) -> Result<(), Error> {
        self.blocks.push(Block::Heading(self.words.word("formula-sheet")?));
        let needed = |&&(_, kinds): &&(&str, &[Kind])| {
            kinds.is_empty() || paper.items.iter().any(|item| kinds.contains(&item.kind))
        };
        for (formula, _) in FORMULAS.iter().filter(needed) {
            if *formula == "formula-willis" && paper.items.iter().any(derives_willis) {
                continue;
            }
            self.paragraph(&Said::new(formula))?;
        }
        Ok(())
    }
}

/// A, B, C … of options.
pub(super) fn letter(index: usize) -> String {
    char::from_u32('A' as u32 + index as u32).unwrap_or('?').to_string()
}

/// A table whose cells `cell` fills.
pub(super) fn table(
    words: &Words,
    columns: &[Said],
    rows: &[Row],
    cell: impl Fn(&Cell) -> Result<TableCell, Unsaid>,
) -> Result<Block, Unsaid> {
    let columns = columns.iter().map(|said| words.say(said)).collect::<Result<_, _>>()?;
    let row = |row: &Row| {
        let head = std::iter::once(Ok(TableCell::Text(words.say(&row.head)?)));
        head.chain(row.cells.iter().map(&cell)).collect::<Result<Vec<_>, Unsaid>>()
    };
    Ok(Block::Table(columns, rows.iter().map(row).collect::<Result<_, _>>()?))
}
