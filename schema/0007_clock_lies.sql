-- Which pieces lie on the loads of a clock, and how much of its plan one of each has: counts say by it how much was cut.
ALTER TABLE clock ADD COLUMN lies TEXT CHECK (length(lies) <= 10000);
