//! Pages judged by what stands on the paper.
