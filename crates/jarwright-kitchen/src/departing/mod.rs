mod quick;
mod sample;
