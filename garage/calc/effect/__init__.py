"""What did a change really gain? A linear model of the log of the speed, with stated priors, and what follows from it.

`runs` in, `priors` stated, `columns` and `design` make the matrix, `posterior` fits it, `parts`, `tangled`, `verdict`
and `planner` say what it means; `answer` puts one whole answer together. Background, from memory: conjugate linear
models (Gelman et al., Bayesian Data Analysis, ch. 14 and 15); confounding and blocking (NIST/SEMATECH e-Handbook).
"""
