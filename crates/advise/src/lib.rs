//! Every what-if: the one place that loops over the flow.
