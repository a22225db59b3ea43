"""The named facts that label specifications ask for, judged on the graph and on the evaluation."""
