//! Words people use for what a room is made of, and the rows of the catalogue they mean.

/// A word and its row: the likeliest one where several would do (common practice).
const WORDS: &[(&str, &str)] = &[
    ("drywall", STUDS),
    ("sheetrock", STUDS),
    ("plasterboard", STUDS),
    ("gypsum", STUDS),
    ("gypsum board", STUDS),
    ("stud wall", STUDS),
    ("brick", "bare brick"),
    ("bricks", "bare brick"),
    ("concrete", "concrete, unpainted"),
    ("block", "concrete block, painted"),
    ("concrete block", "concrete block, painted"),
    ("cinder block", "concrete block, coarse"),
    ("breeze block", "concrete block, coarse"),
    ("plaster", "plaster on brick"),
    ("tile", "marble or glazed tile"),
    ("tiles", "marble or glazed tile"),
    ("marble", "marble or glazed tile"),
    ("wood", "wood, solid"),
    ("timber", "wood, solid"),
    ("panelling", "plywood 5 mm, 50 mm air behind"),
    ("plywood", "plywood 5 mm, 50 mm air behind"),
    ("door", "wood door, solid"),
    ("window", "glass, ordinary window"),
    ("glass", "glass, ordinary window"),
    ("floorboards", BOARDS),
    ("wood floor", BOARDS),
    ("hardwood", BOARDS),
    ("parquet", "parquet on concrete"),
    ("laminate", "parquet on concrete"),
    ("vinyl", "linoleum or vinyl on concrete"),
    ("linoleum", "linoleum or vinyl on concrete"),
    ("lino", "linoleum or vinyl on concrete"),
    ("carpet", "carpet, heavy, on felt or foam"),
    ("rug", "carpet, thin"),
    ("curtain", FOLDS),
    ("curtains", FOLDS),
    ("drapes", FOLDS),
    ("fabric", "velour, light, flat on wall"),
    ("cloth", "velour, light, flat on wall"),
    ("rockwool", "mineral wool 100 mm"),
    ("mineral wool", "mineral wool 100 mm"),
    ("glass wool", "glass-fibre board 50 mm"),
    ("fibreglass", "glass-fibre board 50 mm"),
    ("fiberglass", "glass-fibre board 50 mm"),
    ("foam", "open-cell foam 50 mm"),
    ("solid door", "wood door, solid"),
    ("front door", "wood door, solid"),
    ("hollow door", HOLLOW_DOOR),
    ("hollow-core door", HOLLOW_DOOR),
    ("room door", HOLLOW_DOOR),
    ("interior door", HOLLOW_DOOR),
    ("desk", "wood, solid"),
    ("desk top", "wood, solid"),
    ("table", "wood, solid"),
    ("wardrobe", "wood, solid"),
    ("rack", "wood, solid"),
    ("mirror", "glass, large heavy pane"),
    ("thin rug", "carpet, thin"),
    ("thick rug", "carpet, heavy, on concrete"),
    ("drape", FOLDS),
    ("drapery", FOLDS),
    ("light curtain", "curtain, light, 100 mm before wall"),
    ("heavy curtain", "curtain, heavy, 100 mm before wall"),
    ("sofa", SOFA),
    ("couch", SOFA),
    ("settee", SOFA),
    ("leather sofa", "sofa, leather"),
    ("leather couch", "sofa, leather"),
    ("armchair", ARMCHAIR),
    ("easy chair", ARMCHAIR),
    ("chair", ARMCHAIR),
    ("bed", "bed, made"),
    ("mattress", "bed, made"),
    ("shelf", SHELF),
    ("shelves", SHELF),
    ("bookshelf", SHELF),
    ("bookcase", SHELF),
    ("books", SHELF),
    ("person", "person, seated"),
    ("people", "person, seated"),
    ("console", "mixing desk"),
    ("mixer", "mixing desk"),
    ("rock wool", "mineral wool 100 mm"),
    ("stone wool", "mineral wool 100 mm"),
    ("insulation", "mineral wool 100 mm"),
];

const STUDS: &str = "gypsum board on studs";
const BOARDS: &str = "wood floor on joists";
const HOLLOW_DOOR: &str = "wood door, hollow core";
const FOLDS: &str = "curtains in folds against wall";
const SOFA: &str = "sofa, upholstered";
const ARMCHAIR: &str = "armchair, upholstered";
const SHELF: &str = "bookshelf, filled";

/// The row that an everyday word means, by its name; capitals do not matter.
pub fn everyday(word: &str) -> Option<&'static str> {
    let word = word.trim().to_lowercase();
    WORDS.iter().find(|(known, _)| *known == word).map(|(_, row)| *row)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::medium::materials::catalogue::find;

    #[test]
    fn every_word_leads_to_a_row_and_is_none_itself() {
        for &(word, row) in WORDS {
            assert!(find(row).is_some(), "{row}");
            assert!(find(word).is_none(), "{word} is a row");
            assert_eq!(everyday(&word.to_uppercase()), Some(row));
        }
        assert_eq!(everyday("cheese"), None);
    }

    #[test]
    fn a_word_leads_to_one_row() {
        let known: std::collections::BTreeSet<&str> = WORDS.iter().map(|(word, _)| *word).collect();
        assert_eq!(known.len(), WORDS.len());
    }
}
