using PoeWatch.Server.Commands;

return await PoeWatchCommands.RunAsync(args);
