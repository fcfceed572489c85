"""Where much work is done: in this process, in processes of this machine, or on a cluster. None of it changes an answer."""
