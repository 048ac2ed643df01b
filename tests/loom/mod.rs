//! Fabrics put together stitch by stitch, apart from the reader of written text.
#![allow(dead_code)]

use brimwright::fabric::{
    Course, CourseShape, Fabric, Ground, Loop, Role, SeamMade, Standing, Stitch,
};
use brimwright::standards::stitches::Kind;

/// Builds a fabric course by course.
#[derive(Default)]
pub struct Loom {
    pub fabric: Fabric,
}

pub fn stitch(kind: Kind, role: Role, base: Standing) -> Stitch {
    let last = match base {
        Standing::Stitch(i) | Standing::Before(i) => i,
        _ => 0,
    };
    Stitch { kind, role, loops: Loop::Both, bases: 1, colour: 0, base, last, group: 0 }
}

impl Loom {
    pub fn push(
        &mut self,
        shape: CourseShape,
        ground: Ground,
        stitches: Vec<Stitch>,
    ) -> &mut Course {
        let start = self.fabric.stitches.len() as u32;
        let counted = |s: &&Stitch| matches!(s.role, Role::Counted | Role::CountedRise);
        let count = stitches.iter().filter(counted).count() as u32;
        self.fabric.stitches.extend(stitches);
        let end = self.fabric.stitches.len() as u32;
        self.fabric.courses.push(Course {
            shape,
            ground,
            stitches: start..end,
            count,
            joined: shape == CourseShape::Round,
            turned: shape == CourseShape::Row,
            ..Course::default()
        });
        self.fabric.courses.last_mut().unwrap()
    }

    pub fn chain(mut self, n: u32) -> Loom {
        let chains = vec![stitch(Kind::CH, Role::Foundation, Standing::Nothing); n as usize];
        self.push(CourseShape::Foundation, Ground::Nothing, chains);
        self
    }

    pub fn ground(&self) -> Ground {
        match self.fabric.courses.last() {
            None => Ground::Ring,
            Some(c) if c.shape == CourseShape::Foundation => Ground::Chain,
            Some(_) => Ground::Course(self.fabric.courses.len() as u32 - 1),
        }
    }

    /// A round of so many, spread over the round before.
    pub fn round(mut self, n: u32, kind: Kind) -> Loom {
        let ground = self.ground();
        let before = self.fabric.courses.last().map(|c| c.stitches.clone()).unwrap_or(0..0);
        let on = |i: u32| match before.len() as u32 {
            0 => Standing::Ring,
            m => Standing::Stitch(before.start + i * m / n),
        };
        let stitches = (0..n).map(|i| stitch(kind, Role::Counted, on(i))).collect();
        self.push(CourseShape::Round, ground, stitches);
        self
    }

    pub fn rounds(self, times: u32, n: u32, kind: Kind) -> Loom {
        (0..times).fold(self, |loom, _| loom.round(n, kind))
    }

    /// A turned row of `n` stitches on the row before, worked back from its end.
    pub fn row(mut self, n: u32, kind: Kind) -> Loom {
        let ground = self.ground();
        let before = self.fabric.courses.last().unwrap().stitches.clone();
        let on = |i: u32| Standing::Stitch(before.end - 1 - i);
        let stitches = (0..n).map(|i| stitch(kind, Role::Counted, on(i))).collect();
        self.push(CourseShape::Row, ground, stitches);
        self
    }

    pub fn seam_to_foundation(mut self) -> Loom {
        let seam = SeamMade { to_foundation: true, ..Default::default() };
        self.fabric.seams.push(seam);
        self
    }

    pub fn gathered(mut self) -> Loom {
        self.fabric.courses.last_mut().unwrap().gathered = true;
        self
    }

    pub fn done(mut self) -> Fabric {
        self.fabric.fasten_offs = 1;
        self.fabric.colours = vec!["A".into()];
        self.fabric
    }
}

/// A first round on the row ends of the piece before.
pub fn on_row_ends(n: u32, kind: Kind) -> Loom {
    let mut loom = Loom::default();
    let stitches =
        (0..n).map(|i| stitch(kind, Role::Counted, Standing::BeforeRowEnd(i + 1))).collect();
    loom.push(CourseShape::Round, Ground::Before, stitches);
    loom
}
